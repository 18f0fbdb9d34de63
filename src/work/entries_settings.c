/* SPDX-License-Identifier: Apache-2.0 */
#include "work/entries.h"

#include "advice/program.h"
#include "base/text.h"
#include "work/write.h"

#include <string.h>

static lw_status check_setting(const char *key, const char *text, lw_error *err)
{
  if (!text) {
    return LW_OK; /* back to the default */
  }
  if (strcmp(key, "units") == 0) {
    return lw_choice_index("us|metric", text) >= 0
               ? LW_OK
               : lw_fail(err, LW_INVALID, "units is '%.40s'; it must be us or metric", text);
  }
  if (strcmp(key, "money") == 0) {
    return *text && strlen(text) <= 8 ? LW_OK
                                      : lw_fail(err, LW_INVALID, "money is a sign of 1 to 8 characters");
  }
  if (strcmp(key, "place") == 0) {
    return *text && strlen(text) <= 80 ? LW_OK
                                       : lw_fail(err, LW_INVALID, "place is a name of 1 to 80 characters");
  }
  lw_program program;
  lw_program_default(&program);
  return lw_program_set(&program, key, text, err);
}

static lw_status write_setting(const lw_desk *desk, const lw_setting *known, size_t count, const char *key,
                               const char *text, lw_error *err)
{
  for (size_t i = 0; i < count; i++) {
    if (strcmp(known[i].key, key) != 0) {
      continue;
    }
    lw_setting changed = known[i];
    changed.value = text;
    return text ? lw_store_update(desk->store, LW_KIND_SETTING, known[i].id, &changed, err)
                : lw_store_remove(desk->store, LW_KIND_SETTING, known[i].id, err);
  }
  lw_id id = 0;
  const lw_setting added = {.key = key, .value = text};
  return text ? lw_store_add(desk->store, LW_KIND_SETTING, &added, &id, err) : LW_OK;
}

/* Upside-down aims are refused here, for the place and for each water that has its own. */
static lw_status check_together(const lw_desk *desk, const lw_setting *known, size_t count,
                                const lw_form *form, lw_error *err)
{
  lw_program program;
  lw_water *waters = NULL;
  size_t n = 0;
  lw_program_default(&program);
  lw_status s = lw_store_list(desk->store, LW_KIND_WATER, 0, desk->arena, &waters, &n, err);
  for (size_t i = 0; s == LW_OK && i < count; i++) {
    if (lw_program_find(known[i].key) && !lw_form_has(form, known[i].key)) {
      s = lw_program_set(&program, known[i].key, known[i].value, err);
    }
  }
  for (size_t i = 0; s == LW_OK && i < form->count; i++) {
    if (lw_program_find(form->fields[i].key) && form->fields[i].text) {
      s = lw_program_set(&program, form->fields[i].key, form->fields[i].text, err);
    }
  }
  const lw_water any = {.name = "the place"};
  lw_program copy = program;
  s = s == LW_OK ? lw_program_for_water(&copy, &any, err) : s;
  for (size_t i = 0; s == LW_OK && i < n; i++) {
    copy = program;
    s = lw_program_for_water(&copy, &waters[i], err);
  }
  return s;
}

static lw_status write_all(const lw_desk *desk, const lw_setting *known, size_t count, const lw_form *form,
                           lw_error *err)
{
  lw_status s = LW_OK;
  for (size_t i = 0; s == LW_OK && i < form->count; i++) {
    s = write_setting(desk, known, count, form->fields[i].key, form->fields[i].text, err);
  }
  return s;
}

lw_status lw_set_settings(lw_entry *out, const lw_desk *desk, const lw_form *form, lw_error *err)
{
  lw_setting *known = NULL;
  size_t count = 0;
  *out = (lw_entry){.kind = LW_KIND_SETTING};
  lw_text words = LW_TEXT(400);
  lw_status s = form->count ? LW_OK : lw_fail(err, LW_INVALID, "no setting was given");
  for (size_t i = 0; s == LW_OK && i < form->count; i++) {
    const lw_field *f = &form->fields[i];
    s = check_setting(f->key, f->text, err);
    lw_text_addf(&words, "%s%s = %s", i ? ", " : "settings: ", f->key, f->text ? f->text : "(default)");
  }
  out->shown = lw_arena_copy(desk->arena, lw_text_view(&words));
  lw_text_free(&words);
  s = s == LW_OK ? lw_store_list(desk->store, LW_KIND_SETTING, 0, desk->arena, &known, &count, err) : s;
  s = s == LW_OK ? check_together(desk, known, count, form, err) : s;
  if (s != LW_OK) {
    return s;
  }
  const lw_change change = {
      .who = desk->who, .why = desk->why, .at = desk->now, .action = out->shown ? out->shown : "settings"};
  s = lw_store_begin(desk->store, &change, err);
  if (s != LW_OK) {
    return s;
  }
  s = write_all(desk, known, count, form, err);
  s = s == LW_OK ? lw_store_commit(desk->store, &out->change, err) : s;
  if (s != LW_OK) {
    lw_store_rollback(desk->store);
    return s;
  }
  return lw_store_revision(desk->store, &out->revision, err);
}
