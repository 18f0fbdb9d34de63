/* SPDX-License-Identifier: Apache-2.0 */
/* Tables that go in: every kind, units from header and cell. */
#include "import_fixture.h"

#include "base/units.h"
#include "work/import_csv_parts.h"

/* ---- readings ---- */

static void a_long_table_of_readings(void **state)
{
  place *p = *state;
  lw_reading *r = NULL;
  assert_imported(p, "readings",
                  "water,date,quantity,value,unit,depth (ft),by,note\n"
                  "Upper Sedge,2026-04-01,secchi,18,in,,first hand,\"windy, \"\"choppy\"\"\"\n"
                  "upper sedge,2026-04-02,temperature,68,degF,3,,\n"
                  "Heron Pool,2026-04-03,Water Color,brown-mud,,,,\n"
                  "Heron Pool,2026-04-04,ph,7.2,,1 m,,\n");
  assert_int_equal(p->report.rows, 4);
  assert_int_equal(p->report.added, 4);
  assert_true(p->report.change > 0);
  assert_int_equal(readings(p, &r), 4);
  assert_int_equal(r[0].water, p->sedge);
  assert_string_equal(r[0].quantity, "secchi");
  assert_close(r[0].value, 18 * 0.0254, 1e-12);
  assert_int_equal(r[0].day, day_of(2026, 4, 1));
  assert_string_equal(r[0].by, "first hand");
  assert_string_equal(r[0].note, "windy, \"choppy\"");
  assert_false(r[0].depth_m.known);
  assert_close(r[1].value, 20, 1e-9);
  assert_close(r[1].depth_m.value, 3 * 0.3048, 1e-12); /* the header's feet */
  assert_int_equal(r[2].water, p->heron);
  assert_close(r[2].value, 1, 0); /* brown-mud */
  assert_close(r[3].value, 7.2, 0);
  assert_close(r[3].depth_m.value, 1, 1e-12); /* the cell's metre */
}

static void a_wide_table_with_crlf_and_a_byte_order_mark(void **state)
{
  place *p = *state;
  lw_reading *r = NULL;
  assert_imported(
      p, "readings",
      "\xEF\xBB\xBFwater,date,time,secchi (in),alkalinity (mg/L),temperature (degF),water-color\r\n"
      "Upper Sedge,2026-04-01,06:30,40,34,68,green\r\n"
      "Upper Sedge,2026-04-15,,45.72 cm,,20 degC,\r\n"
      ",,,,,,\r\n");
  assert_int_equal(p->report.rows, 2); /* the row of commas is blank */
  assert_int_equal(p->report.added, 6);
  assert_int_equal(readings(p, &r), 6);
  assert_close(r[0].value, 40 * 0.0254, 1e-12);
  assert_close(r[0].minute.value, 390, 0);
  assert_close(r[1].value, 34, 0);
  assert_close(r[2].value, 20, 1e-9);
  assert_close(r[3].value, 0, 0);
  assert_close(r[4].value, 0.4572, 1e-12); /* the cell's unit wins over the header's inches */
  assert_false(r[4].minute.known);
  assert_close(r[5].value, 20, 1e-9);
}

/* The same values, written in other units, come out the same: up to the last digits of a double. */
static void units_come_round(void **state)
{
  place *p = *state;
  static const struct {
    const char *quantity, *unit;
    double value;
  } written[] = {{"secchi", "in", 31.5},       {"secchi", "ft", 2.625},     {"secchi", "cm", 80.01},
                 {"temperature", "degF", 71},  {"temperature", "degC", 21}, {"oxygen", "ppm", 6.4},
                 {"phosphorus", "mg/L", 0.05}, {"outflow", "cfs", 12},      {"outflow", "L/s", 40},
                 {"hardness", "gpg", 3.5},     {"weed-cover", "%", 35},     {"level", "in", -6}};
  enum { N = sizeof written / sizeof written[0] };
  lw_text text = LW_TEXT(4096);
  lw_text_add(&text, "date,quantity,value,unit\n");
  for (int i = 0; i < N; i++) {
    lw_text_addf(&text, "2026-03-%02d,%s,%.10g,%s\n", i + 1, written[i].quantity, written[i].value,
                 written[i].unit);
  }
  lw_reading *r = NULL;
  assert_int_equal(
      import_with(p, "readings", lw_text_view(&text), (lw_import_options){.water = "Heron Pool"}), LW_OK);
  assert_int_equal(readings(p, &r), N);
  for (int i = 0; i < N; i++) {
    double back = 0;
    assert_int_equal(r[i].water, p->heron);
    assert_ok(&p->f, lw_convert(&back, r[i].value, lw_quantity_find(r[i].quantity)->unit, written[i].unit,
                                &p->f.err));
    assert_close(back, written[i].value, 1e-9);
  }
  lw_text_free(&text);
}

/* A table and a single entry make the same record. */
static void a_row_is_what_a_single_entry_is(void **state)
{
  place *p = *state;
  const lw_field fields[] = {{"value", "40 in"}, {"on", "2026-04-01"}, {"depth", "2 ft"}, {"by", "keeper"}};
  const lw_form form = {fields, 4};
  lw_entry entry;
  assert_ok(&p->f, lw_add_reading(&entry, &p->desk, p->sedge, "secchi", &form, &p->f.err));
  assert_imported(p, "readings", "water,date,secchi (in),depth (ft),by\nHeron Pool,2026-04-01,40,2,keeper\n");
  lw_reading *r = NULL;
  assert_int_equal(readings(p, &r), 2);
  assert_close(r[0].value, r[1].value, 0);
  assert_close(r[0].depth_m.value, r[1].depth_m.value, 0);
  assert_string_equal(r[0].by, r[1].by);
  const lw_field poured[] = {{"amount", "4 bags"}, {"on", "2026-04-01"}};
  const lw_form second = {poured, 2};
  assert_ok(&p->f, lw_add_treatment(&entry, &p->desk, p->sedge, p->powder, &second, &p->f.err));
  assert_imported(p, "treatments", "water,date,material,packages\nHeron Pool,2026-04-01,Powder 12-48-8,4\n");
  lw_treatment *t = NULL;
  assert_int_equal(treatments(p, &t), 2);
  assert_close(t[0].mass_kg, t[1].mass_kg, 0);
  assert_string_equal(t[0].purpose, t[1].purpose);
}

/* ---- the shelf ---- */

static void treatments_in_mass_volume_and_packages(void **state)
{
  place *p = *state;
  lw_treatment *t = NULL;
  assert_imported(p, "treatments",
                  "water,date,material,amount (lb),packages,zone,conditions,purpose\n"
                  "Upper Sedge,2026-04-01,powder 12-48-8,150,,North arm,calm,\n"
                  "Upper Sedge,2026-04-02,Powder 12-48-8,4 bags,,,,feed\n"
                  "Upper Sedge,2026-04-03,Liquid 10-34-0,10 gal,,,,\n"
                  "Heron Pool,2026-04-04,Liquid 10-34-0,,2,,,other\n");
  assert_int_equal(treatments(p, &t), 4);
  assert_close(t[0].mass_kg, 150 * 0.45359237, 1e-9);
  assert_true(t[0].zone > 0);
  assert_string_equal(t[0].conditions, "calm");
  assert_string_equal(t[0].purpose, "feed"); /* what a fertilizer is for */
  assert_close(t[1].mass_kg, 4 * 22.6796185, 1e-9);
  assert_close(t[2].volume_l.value, 37.85411784, 1e-9);
  assert_close(t[2].mass_kg, 37.85411784 * 1.4, 1e-9);
  assert_close(t[3].volume_l.value, 2 * 3.785411784, 1e-9);
  assert_string_equal(t[3].purpose, "other");
  assert_int_equal(p->report.tally_count, 3);
  assert_string_equal(p->report.tallies[0].water, "Heron Pool");
}

static void materials_and_lots(void **state)
{
  place *p = *state;
  lw_material m;
  lw_lot *lots = NULL;
  size_t n = 0;
  assert_imported(p, "materials",
                  "Name,Form,Grade,package (lb),Density (lb/gal),neutralizing value (%),price ($),note\n"
                  "Granular 20-20-5,granular,20-20-5,50,,,24.50,\n"
                  "Ground limestone,ground,,1 ton,,92,38,\"by the truck,\ndelivered\"\n"
                  "Liquid 9-18-9,liquid,9-18-9,2.5 gal,11.1,,,\n");
  assert_ok(&p->f, lw_store_find_material(p->f.store, "Granular 20-20-5", p->f.arena, &m, &p->f.err));
  assert_string_equal(m.kind, "fertilizer");
  assert_close(m.package_kg.value, 50 * 0.45359237, 1e-9);
  assert_close(m.price.value, 24.5, 0);
  assert_ok(&p->f, lw_store_find_material(p->f.store, "Ground limestone", p->f.arena, &m, &p->f.err));
  assert_string_equal(m.kind, "lime");
  assert_close(m.package_kg.value, 907.18474, 1e-9);
  assert_close(m.neutralizing_value_pct.value, 92, 0);
  assert_string_equal(m.note, "by the truck,\ndelivered");
  assert_ok(&p->f, lw_store_find_material(p->f.store, "Liquid 9-18-9", p->f.arena, &m, &p->f.err));
  assert_close(m.package_kg.value, 2.5 * 11.1 * 0.45359237, 1e-9);
  assert_imported(p, "lots", "material,day,packages,price\nGround limestone,2026-02-01,12,36.5\n");
  assert_ok(&p->f, lw_store_list(p->f.store, LW_KIND_LOT, 0, p->f.arena, &lots, &n, &p->f.err));
  assert_int_equal(n, 1);
  assert_close(lots[0].packages, 12, 0);
  assert_close(lots[0].price.value, 36.5, 0);
}

/* ---- weather and notes ---- */

static void weather_and_notes(void **state)
{
  place *p = *state;
  lw_weather *w = NULL;
  lw_note *notes = NULL;
  size_t n = 0;
  assert_imported(p, "weather",
                  "date,forecast,rain (in),wind (mph),air (degF),cloud (%)\n"
                  "2026-04-10,no,1.5,,,\n"
                  "2026-04-22,YES,0,12,68,90\n");
  assert_ok(&p->f, lw_store_list(p->f.store, LW_KIND_WEATHER, 0, p->f.arena, &w, &n, &p->f.err));
  assert_int_equal(n, 2);
  assert_close(w[0].rain_mm.value, 38.1, 1e-9);
  assert_false(w[0].forecast || w[0].wind_m_s.known);
  assert_int_equal(w[0].issued, LW_NO_DAY);
  assert_true(w[1].forecast && w[1].water == 0);
  assert_int_equal(w[1].issued, p->desk.today);
  assert_close(w[1].wind_m_s.value, 12 * 0.44704, 1e-9);
  assert_close(w[1].cloud_pct.value, 90, 0);
  assert_imported(p, "notes",
                  "water,date,text\n-,2026-04-01,\"Screen fixed.\r\nGate too.\"\n"
                  "heron pool,2026-04-02,Heron seen\n");
  assert_ok(&p->f, lw_store_list(p->f.store, LW_KIND_NOTE, 0, p->f.arena, &notes, &n, &p->f.err));
  assert_int_equal(n, 2);
  assert_int_equal(notes[0].water, 0);
  assert_string_equal(notes[0].text, "Screen fixed.\nGate too.");
  assert_int_equal(notes[1].water, p->heron);
}

/* ---- headers ---- */

static void names_of_columns_are_taken_loosely(void **state)
{
  place *p = *state;
  lw_reading *r = NULL;
  assert_imported(p, "readings",
                  "WATER, Day ,Weed Cover (%),mud_PH,depth_m,Way\n"
                  "Heron Pool,2026-04-01, 30 ,5.2,0.5,by eye\n");
  assert_int_equal(readings(p, &r), 2);
  assert_close(r[0].value, 30, 1e-12);
  assert_close(r[1].value, 5.2, 0);
  assert_close(r[1].depth_m.value, 0.5, 0); /* the name says metres */
  assert_string_equal(r[1].way, "by eye");
}

/* Every unit that a message offers is one the program reads. */
static void units_that_are_offered_fit(void **state)
{
  (void)state;
  static const char *const kept[] = {"kg", "L", "kg/L", "mm", "m/s", "degC", "%", "m"};
  for (size_t i = 0; i < LW_QUANTITY_COUNT + sizeof kept / sizeof kept[0]; i++) {
    const char *unit = i < LW_QUANTITY_COUNT ? lw_quantities[i].unit : kept[i - LW_QUANTITY_COUNT];
    const char *fit = lw_import_units_for(unit);
    assert_true((fit == NULL) == (strcmp(unit, "1") == 0));
    char words[80];
    (void)snprintf(words, sizeof words, "%s", fit ? fit : "");
    char *rest = NULL;
    for (char *word = strtok_r(words, ", ", &rest); word; word = strtok_r(NULL, ", ", &rest)) {
      double value = 0;
      if (strcmp(word, "or") != 0 && lw_convert(&value, 1, word, unit, NULL) != LW_OK) {
        fail_msg("%s is offered for %s", word, unit);
      }
    }
  }
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      import_test(a_long_table_of_readings),
      import_test(a_wide_table_with_crlf_and_a_byte_order_mark),
      import_test(units_come_round),
      import_test(a_row_is_what_a_single_entry_is),
      import_test(treatments_in_mass_volume_and_packages),
      import_test(materials_and_lots),
      import_test(weather_and_notes),
      import_test(names_of_columns_are_taken_loosely),
      cmocka_unit_test(units_that_are_offered_fit),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
