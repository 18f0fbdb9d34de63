/* SPDX-License-Identifier: Apache-2.0 */
/* Rows about what was seen: readings, notes, weather. */
#include "work/import_csv_parts.h"

#include "base/text.h"
#include "work/form.h"

#include <string.h>

/* ---- readings ---- */

static void ask_about(lw_importing *job, const lw_csv_cell *at, const lw_quantity *q, const char *text)
{
  char low[LW_SHOWN_MAX];
  char high[LW_SHOWN_MAX];
  lw_import_question(job, at, "%s of %.60s? Usual is %s to %s.", q->label, text,
                     lw_quantity_shown(q, q->usual_low, job->units, low),
                     lw_quantity_shown(q, q->usual_high, job->units, high));
}

/* One value of the row; `unit` is what the table says of a bare number. */
static void keep_reading(lw_importing *job, lw_reading *r, size_t column, const lw_quantity *q,
                         const char *unit)
{
  const lw_csv_cell *at = lw_import_cell(job, column);
  const char *text = lw_import_text(job, column);
  char number[LW_IMPORT_NUMBER];
  bool unusual = false;
  lw_error fault = {0};
  if (!q->choices) {
    if (!lw_import_with_unit(job, at, q->name, text, unit, q->unit, number)) {
      return;
    }
    text = number;
  }
  if (!lw_import_good(job, at, lw_quantity_read(&r->value, &unusual, q, text, &fault), &fault)) {
    return;
  }
  r->quantity = q->name;
  if (lw_import_keep(job, r, at, r->water, q->name, r->day) && unusual) {
    ask_about(job, at, q, text);
  }
}

static void refuse_quantity(lw_importing *job, const char *name)
{
  lw_text names = LW_TEXT(400);
  for (int i = 0; i < LW_QUANTITY_COUNT; i++) {
    lw_text_addf(&names, "%s%s", i ? ", " : "", lw_quantities[i].name);
  }
  lw_import_fault(job, lw_import_role_cell(job, LW_IMPORT_QUANTITY),
                  "'%.60s' is not a quantity Lakeward keeps; it keeps %s", name, lw_text_view(&names));
  lw_text_free(&names);
}

/* "Water color" and "water_color" are water-color. */
static const lw_quantity *quantity_of(const char *text)
{
  char name[40];
  size_t n = strlen(text);
  if (n >= sizeof name) {
    return NULL;
  }
  for (size_t i = 0; i <= n; i++) {
    name[i] = text[i] == ' ' || text[i] == '_' ? '-' : text[i];
  }
  return lw_quantity_find(name);
}

static void long_row(lw_importing *job, lw_reading *r)
{
  const lw_quantity *q = quantity_of(lw_import_role_text(job, LW_IMPORT_QUANTITY));
  const char *unit = lw_import_role_text(job, LW_IMPORT_UNIT);
  if (!q) {
    refuse_quantity(job, lw_import_role_text(job, LW_IMPORT_QUANTITY));
    return;
  }
  if (!*lw_import_role_text(job, LW_IMPORT_VALUE)) {
    lw_import_fault(job, lw_import_role_cell(job, LW_IMPORT_VALUE),
                    "the value is missing; give it or leave "
                    "the row out");
    return;
  }
  if (*unit && (q->choices || !lw_import_units_for(q->unit))) {
    lw_import_fault(job, lw_import_role_cell(job, LW_IMPORT_UNIT), "%s takes no unit; leave '%.40s' out",
                    q->name, unit);
    return;
  }
  size_t value = (size_t)job->role_at[LW_IMPORT_VALUE];
  const char *otherwise = lw_import_units_for(q->unit) ? job->columns[value].unit : "";
  keep_reading(job, r, value, q, *unit ? unit : otherwise);
}

static void wide_row(lw_importing *job, lw_reading *r)
{
  size_t values = 0;
  size_t faults = job->row_faults; /* of the row's own cells; one bad value does not hide another */
  for (size_t i = 0; i < job->csv.column_count; i++) {
    const lw_import_column *c = &job->columns[i];
    if (c->role == LW_IMPORT_READING && *lw_import_text(job, i)) {
      values++;
      job->row_faults = faults;
      keep_reading(job, r, i, c->quantity, c->unit);
    }
  }
  if (values == 0) {
    lw_import_fault(job, lw_import_role_cell(job, LW_IMPORT_READING),
                    "the row holds no reading; give one or "
                    "leave the row out");
  }
}

static void read_time(lw_importing *job, lw_reading *r)
{
  const char *text = lw_import_role_text(job, LW_IMPORT_TIME);
  int minutes = 0;
  lw_error fault = {0};
  if (*text && lw_import_good(job, lw_import_role_cell(job, LW_IMPORT_TIME),
                              lw_clock_parse(&minutes, "time", text, &fault), &fault)) {
    r->minute = lw_known(minutes);
  }
}

void lw_import_reading_row(lw_importing *job)
{
  lw_reading r;
  lw_kind_clear(LW_KIND_READING, &r);
  r.water = lw_import_water(job);
  r.day = lw_import_day(job, false);
  read_time(job, &r);
  lw_import_members(job, &r);
  if (job->role_at[LW_IMPORT_QUANTITY] >= 0) {
    long_row(job, &r);
  } else {
    wide_row(job, &r);
  }
}

/* ---- notes ---- */

void lw_import_note_row(lw_importing *job)
{
  lw_note note;
  lw_kind_clear(LW_KIND_NOTE, &note);
  note.water = lw_import_water(job);
  note.day = lw_import_day(job, false);
  lw_import_members(job, &note);
  (void)lw_import_keep(job, &note, lw_import_cell(job, 0), note.water, "notes", note.day);
}

/* ---- weather ---- */

/* -1 after a fault. */
static int read_forecast(lw_importing *job)
{
  const char *text = lw_import_role_text(job, LW_IMPORT_FORECAST);
  if (lw_same_word(text, "yes") || lw_same_word(text, "true")) {
    return 1;
  }
  if (lw_same_word(text, "no") || lw_same_word(text, "false")) {
    return 0;
  }
  lw_import_fault(job, lw_import_role_cell(job, LW_IMPORT_FORECAST),
                  "forecast is '%.40s'; it must be yes for a forecast or no for weather seen", text);
  return -1;
}

/* A forecast without a day of issue was issued today, as a single entry is. */
static lw_day read_issued(lw_importing *job, bool forecast)
{
  const char *text = lw_import_role_text(job, LW_IMPORT_ISSUED);
  lw_day day = forecast ? job->desk->today : LW_NO_DAY;
  lw_error fault = {0};
  if (*text) {
    lw_status s = lw_form_day(&day, "issued", text, false, job->desk, &fault);
    (void)lw_import_good(job, lw_import_role_cell(job, LW_IMPORT_ISSUED), s, &fault);
  }
  return day;
}

void lw_import_weather_row(lw_importing *job)
{
  lw_weather w;
  lw_kind_clear(LW_KIND_WEATHER, &w);
  int forecast = read_forecast(job);
  w.forecast = forecast == 1;
  w.water = lw_import_water(job);
  w.day = lw_import_day(job, forecast != 0);
  w.issued = read_issued(job, w.forecast);
  lw_import_members(job, &w);
  if (job->row_faults == 0 && !w.rain_mm.known && !w.wind_m_s.known && !w.air_c.known && !w.cloud_pct.known) {
    lw_import_fault(job, lw_import_cell(job, 0), "weather needs at least one of rain, wind, air or cloud");
  }
  (void)lw_import_keep(job, &w, lw_import_cell(job, 0), w.water, w.forecast ? "forecast" : "seen", w.day);
}
