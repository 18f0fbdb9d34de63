/* SPDX-License-Identifier: Apache-2.0 */
#include "cli/cli.h"

#include "work/json.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

const char *cli_option_text(const cli_call *call, const char *name)
{
  for (size_t i = 0; i < call->field_count; i++) {
    if (strcmp(call->fields[i].key, name) == 0) {
      return call->fields[i].text;
    }
  }
  return NULL;
}

lw_form cli_form(const cli_call *call)
{
  return (lw_form){.fields = call->fields, .count = call->field_count};
}

lw_status cli_print_json(cli_call *call, json_t *json, lw_error *err)
{
  char *text = json ? lw_json_text(json, true) : NULL;
  json_decref(json);
  if (!text) {
    return lw_fail(err, LW_MEMORY, "no memory for the answer");
  }
  lw_text_add(call->out, text);
  lw_text_add(call->out, "\n");
  free(text);
  return LW_OK;
}

lw_status cli_print_entry(cli_call *call, const lw_entry *entry, lw_error *err)
{
  if (call->json) {
    return cli_print_json(call, lw_entry_json(entry), err);
  }
  bool undo = entry->kind == LW_KIND_COUNT;
  lw_text_addf(call->out,
               undo ? "%s (change %lld; 'lakeward undo %lld' puts it back)\n"
                    : "%s (change %lld; 'lakeward undo' takes it back)\n",
               entry->shown, (long long)entry->change, (long long)entry->change);
  if (entry->warning) {
    lw_text_addf(call->out, "Unusual: %s\n", entry->warning);
  }
  return LW_OK;
}

lw_status cli_water_id(lw_id *out, const cli_call *call, const char *name, lw_error *err)
{
  lw_water water;
  lw_status s = lw_store_find_water(call->desk.store, name, call->desk.arena, &water, err);
  *out = s == LW_OK ? water.id : 0;
  return s;
}

lw_status cli_material_id(lw_id *out, const cli_call *call, const char *name, lw_error *err)
{
  lw_material material;
  lw_status s = lw_store_find_material(call->desk.store, name, call->desk.arena, &material, err);
  *out = s == LW_OK ? material.id : 0;
  return s;
}

lw_status cli_day(lw_day *out, const cli_call *call, lw_error *err)
{
  const char *text = cli_option_text(call, "on");
  *out = call->desk.today;
  return text ? lw_date_parse(out, "--on", text, err) : LW_OK;
}

lw_status cli_today(lw_day *out, lw_error *err)
{
  const char *fixed = getenv("LAKEWARD_TODAY");
  if (fixed && *fixed) {
    return lw_date_parse(out, "LAKEWARD_TODAY", fixed, err);
  }
  time_t now = time(NULL);
  struct tm local;
  if (!localtime_r(&now, &local)) {
    return lw_fail(err, LW_INTERNAL, "the clock of this machine cannot be read");
  }
  *out = lw_day_from_civil((lw_civil){local.tm_year + 1900, local.tm_mon + 1, local.tm_mday});
  return LW_OK;
}

lw_instant cli_instant(void)
{
  struct timespec now;
  (void)clock_gettime(CLOCK_REALTIME, &now);
  return (lw_instant)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

void cli_fold(lw_text *out, const char *text, int indent, int width)
{
  cli_fold_from(out, text, indent, indent, width);
}

void cli_fold_from(lw_text *out, const char *text, int start, int indent, int width)
{
  int column = start;
  bool fresh = true; /* nothing on this line yet: no blank before the word */
  for (const char *p = text; *p;) {
    size_t n = strcspn(p, " \n");
    int wide = 0;
    for (size_t i = 0; i < n; i++) { /* count characters, not bytes */
      wide += ((unsigned char)p[i] & 0xC0u) != 0x80u;
    }
    if (!fresh && column + 1 + wide > width) {
      lw_text_addf(out, "\n%*s", indent, "");
      column = indent;
    } else if (!fresh) {
      lw_text_add(out, " ");
      column++;
    }
    fresh = false;
    lw_text_add_n(out, p, n);
    column += wide;
    p += n;
    p += strspn(p, " \n");
  }
}
