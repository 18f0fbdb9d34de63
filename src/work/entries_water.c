/* SPDX-License-Identifier: Apache-2.0 */
#include "work/entries.h"

#include "base/text.h"
#include "exchange/outline.h"
#include "work/book.h"
#include "work/form.h"
#include "work/write.h"

#include <math.h>
#include <string.h>

static lw_status no_memory(lw_error *err)
{
  return lw_fail(err, LW_MEMORY, "no memory for this entry");
}

lw_status lw_place_read(double *out_latitude, double *out_longitude, const char *field, const char *text,
                        lw_error *err)
{
  const char *p = text + strspn(text, " ");
  bool ok = lw_read_number(p, false, out_latitude, &p);
  if (ok) {
    p += strspn(p, " ");
    ok = *p == ',';
    p += ok ? 1 + strspn(p + 1, " ") : 0;
    ok = ok && lw_read_number(p, false, out_longitude, &p) && p[strspn(p, " ")] == '\0';
  }
  if (!ok || fabs(*out_latitude) > 90 || fabs(*out_longitude) > 180) {
    return lw_fail(err, LW_INVALID,
                   "%s: '%.60s' is not latitude,longitude in degrees (latitude -90 to 90, longitude -180 "
                   "to 180); write for example 33.1,-86.4",
                   field, text);
  }
  return LW_OK;
}

static lw_status set_place(lw_water *water, const char *text, lw_error *err)
{
  double latitude = 0;
  double longitude = 0;
  if (!text) {
    water->latitude = water->longitude = (lw_maybe){0};
    return LW_OK;
  }
  lw_status s = lw_place_read(&latitude, &longitude, "place", text, err);
  if (s == LW_OK) {
    water->latitude = lw_known(latitude);
    water->longitude = lw_known(longitude);
  }
  return s;
}

/* Doses hang on the outline: what was found is told, and what does not fit together is asked about. */
static const char *outline_found(const lw_desk *desk, const lw_water *w)
{
  char acres[LW_SHOWN_MAX];
  char hectares[LW_SHOWN_MAX];
  if (!w->outline_area_m2.known) {
    return "";
  }
  const char *text = lw_arena_format(desk->arena, "; its outline holds %s (%s)",
                                     lw_value_shown(w->outline_area_m2.value, "m2", "acre", 3, acres),
                                     lw_value_shown(w->outline_area_m2.value, "m2", "ha", 3, hectares));
  return text ? text : "";
}

static const char *outline_question(const lw_desk *desk, const lw_water *w, double outline_latitude,
                                    double outline_longitude)
{
  if (!w->outline_area_m2.known) {
    return NULL;
  }
  if (w->area_m2.known && fabs(w->area_m2.value / w->outline_area_m2.value - 1) > 0.25) {
    return lw_arena_format(desk->arena,
                           "The area given and the area of the outline differ by more than a quarter; the "
                           "one given is used. Which is right?");
  }
  double degrees = fabs(w->latitude.value - outline_latitude) + fabs(w->longitude.value - outline_longitude);
  return degrees > 0.3
             ? lw_arena_format(desk->arena, "The place given lies far from the outline. Which is right?")
             : NULL;
}

static void take_outline(lw_water *water, const lw_outline *outline, const char **question,
                         const lw_desk *desk)
{
  water->outline = outline->geojson;
  water->outline_area_m2 = lw_known(outline->area_m2);
  water->outline_perimeter_m = lw_known(outline->perimeter_m);
  if (!water->latitude.known) {
    water->latitude = lw_known(outline->centre_latitude);
    water->longitude = lw_known(outline->centre_longitude);
  }
  *question = outline_question(desk, water, outline->centre_latitude, outline->centre_longitude);
}

static lw_status read_outline(lw_outline *out, const lw_desk *desk, const char *text, const char *file,
                              lw_error *err)
{
  return file ? lw_outline_read(out, file, desk->geo_program, desk->arena, err)
              : lw_outline_parse(out, "outline", text, strlen(text), desk->arena, err);
}

static lw_status set_outline(lw_water *water, const lw_desk *desk, const lw_form *form, const char **question,
                             lw_error *err)
{
  const char *text = lw_form_get(form, "outline");
  const char *file = lw_form_get(form, "outline-file");
  if (!text && !file) {
    if (lw_form_has(form, "outline")) { /* given as null: taken away */
      water->outline = NULL;
      water->outline_area_m2 = water->outline_perimeter_m = (lw_maybe){0};
    }
    return LW_OK;
  }
  lw_outline outline;
  lw_status s = read_outline(&outline, desk, text, file, err);
  if (s == LW_OK) {
    take_outline(water, &outline, question, desk);
  }
  return s;
}

static lw_status fill_water(lw_water *water, const lw_desk *desk, const lw_form *form, const char **question,
                            lw_error *err)
{
  static const char *const skip[] = {"place", "outline", "outline_file", NULL};
  lw_status s = lw_form_apply(form, LW_KIND_WATER, water, skip, desk, err);
  if (s == LW_OK && lw_form_has(form, "place")) {
    s = set_place(water, lw_form_get(form, "place"), err);
  }
  s = s == LW_OK ? set_outline(water, desk, form, question, err) : s;
  lw_book settings;
  s = s == LW_OK ? lw_book_settings(&settings, desk, err) : s;
  return s == LW_OK ? lw_program_for_water(&settings.program, water, err) : s;
}

lw_status lw_add_water(lw_entry *out, const lw_desk *desk, const lw_form *form, lw_error *err)
{
  lw_water water;
  lw_kind_clear(LW_KIND_WATER, &water);
  const char *question = NULL;
  lw_status s = fill_water(&water, desk, form, &question, err);
  if (s != LW_OK) {
    return s;
  }
  const char *shown = lw_arena_format(desk->arena, "%s: added%s", water.name, outline_found(desk, &water));
  if (!shown) {
    return no_memory(err);
  }
  s = lw_write_record(out, desk, LW_KIND_WATER, 0, &water, shown, err);
  out->warning = s == LW_OK ? question : NULL;
  return s;
}

lw_status lw_change_water(lw_entry *out, const lw_desk *desk, lw_id id, const lw_form *form, lw_error *err)
{
  lw_water water;
  lw_status s = lw_store_get(desk->store, LW_KIND_WATER, id, desk->arena, &water, err);
  const char *question = NULL;
  if (s == LW_OK) {
    s = fill_water(&water, desk, form, &question, err);
  }
  if (s != LW_OK) {
    return s;
  }
  lw_text keys = LW_TEXT(300);
  for (size_t i = 0; i < form->count; i++) {
    lw_text_addf(&keys, "%s%s", i ? ", " : "", form->fields[i].key);
  }
  const char *shown = lw_arena_format(desk->arena, "%s: changed %s", water.name, lw_text_view(&keys));
  lw_text_free(&keys);
  if (!shown) {
    return no_memory(err);
  }
  s = lw_write_record(out, desk, LW_KIND_WATER, id, &water, shown, err);
  out->warning = s == LW_OK ? question : NULL;
  return s;
}
