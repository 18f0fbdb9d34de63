/* SPDX-License-Identifier: Apache-2.0 */
/* Commands about materials, lots and treatments. */
#include "cli/commands.h"

#include "work/entries.h"
#include "work/json.h"
#include "work/sheet.h"
#include "work/shelf_view.h"

#include <string.h>

#define END                                                                                                  \
  {                                                                                                          \
    NULL, NULL, NULL                                                                                         \
  }

static const cli_option material_options[] = {
    {"kind", "KIND", "fertilizer, lime or other (default: from grade and form)"},
    {"form", "FORM", "liquid, soluble-powder, controlled-release, granular, ground, hydrated or other"},
    {"grade", "N-P-K", "percent N, P2O5, K2O as on the bag, for example 12-48-8"},
    {"package", "P", "mass or volume of one package, for example \"50 lb\" or \"1 gal\""},
    {"density", "D", "of a liquid, for example \"11.65 lb/gal\""},
    {"neutralizing-value", "V", "of lime, per cent of pure calcium carbonate"},
    {"fineness", "F", "of lime, efficiency in per cent (see method lime-fineness)"},
    {"price", "P", "of one package"},
    {"note", "TEXT", "a remark"},
    END};

static lw_status run_material_add(cli_call *call, lw_error *err)
{
  lw_entry entry;
  call->fields[call->field_count++] = (lw_field){"name", call->arguments[0]};
  const lw_form form = cli_form(call);
  lw_status s = lw_add_material(&entry, &call->desk, &form, err);
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_material_add = {"material add",
                                      "NAME",
                                      "Put a material on the shelf list, named by grade or substance.",
                                      material_options,
                                      1,
                                      1,
                                      CLI_STORE,
                                      run_material_add};

static lw_status run_material_set(cli_call *call, lw_error *err)
{
  lw_id id = 0;
  lw_entry entry;
  lw_status s = cli_material_id(&id, call, call->arguments[0], err);
  const lw_form form = cli_form(call);
  s = s == LW_OK ? lw_change_material(&entry, &call->desk, id, &form, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_material_set = {
    "material set", "NAME",          "Change facts of a material.", material_options, 1, 1,
    CLI_STORE,      run_material_set};

static const cli_option none[] = {END};

static lw_status run_material_remove(cli_call *call, lw_error *err)
{
  lw_id id = 0;
  lw_entry entry;
  lw_status s = cli_material_id(&id, call, call->arguments[0], err);
  s = s == LW_OK ? lw_remove_record(&entry, &call->desk, LW_KIND_MATERIAL, id, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_material_remove = {
    "material remove",  "NAME", "Take an unused material off the list.", none, 1, 1, CLI_STORE,
    run_material_remove};

static void print_line(lw_text *out, const lw_shelf *shelf, const lw_shelf_line *line)
{
  const lw_material *m = line->material;
  char package[LW_SHOWN_MAX] = "-";
  char left[LW_NUMBER_MAX] = "not counted";
  char until[LW_DATE_TEXT];
  if (m->package_kg.known) {
    (void)lw_value_shown(m->package_kg.value, "kg",
                         shelf->book.units == LW_US ? (m->package_kg.value > 450 ? "ton" : "lb") : "kg", 3,
                         package);
  }
  if (line->stock.counted) {
    (void)lw_rounded_text(line->stock.packages_left, 3, left);
  }
  lw_text_addf(out, "%-26s %-18s %-9s left %-12s", m->name, m->form, package, left);
  if (line->price_per_kg_active.known) {
    bool us = shelf->book.units == LW_US;
    lw_text_addf(out, " %s%.2f/%s %s", shelf->book.money,
                 line->price_per_kg_active.value * (us ? 0.45359237 : 1), us ? "lb" : "kg", line->active);
  }
  if (line->to_buy > 0) {
    lw_text_addf(out, "  buy %.0f by %s", line->to_buy, lw_date_text(line->enough_until, until));
  }
  lw_text_add(out, "\n");
}

static lw_status run_shelf(cli_call *call, lw_error *err)
{
  lw_shelf *shelf = LW_NEW(call->desk.arena, lw_shelf, 1);
  if (!shelf) {
    return lw_fail(err, LW_MEMORY, "no memory for the shelf");
  }
  lw_status s = lw_work_shelf(shelf, &call->desk, err);
  if (s != LW_OK || call->json) {
    return s == LW_OK ? cli_print_json(call, lw_shelf_json(shelf), err) : s;
  }
  for (size_t i = 0; i < shelf->count; i++) {
    print_line(call->out, shelf, &shelf->lines[i]);
  }
  if (shelf->count == 0) {
    lw_text_add(call->out, "The shelf list is empty: lakeward material add \"soluble powder 12-48-8\" --form "
                           "soluble-powder --grade 12-48-8 --package \"50 lb\"\n");
  }
  return LW_OK;
}

const cli_command cli_shelf = {
    "shelf",   "",       "What is left, what it costs for each pound of P2O5, what to buy.", none, 0, 0,
    CLI_STORE, run_shelf};
const cli_command cli_material_list = {
    "material list", "", "The shelf list (the same as 'shelf').", none, 0, 0, CLI_STORE, run_shelf};

static const cli_option lot_options[] = {{"on", "DATE", "the day (default: today)"},
                                         {"price", "P", "of one package in this lot"},
                                         {"note", "TEXT", "a remark"},
                                         END};

static lw_status run_lot_add(cli_call *call, lw_error *err)
{
  lw_id id = 0;
  lw_entry entry;
  lw_status s = cli_material_id(&id, call, call->arguments[0], err);
  call->fields[call->field_count++] = (lw_field){"packages", call->arguments[1]};
  const lw_form form = cli_form(call);
  s = s == LW_OK ? lw_add_lot(&entry, &call->desk, id, &form, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_lot_add = {"lot add",
                                 "MATERIAL PACKAGES",
                                 "Book packages bought (or, with a minus, lost) on the shelf.",
                                 lot_options,
                                 2,
                                 2,
                                 CLI_STORE,
                                 run_lot_add};

static const cli_option treatment_options[] = {
    {"on", "DATE", "the day (default: today)"},
    {"purpose", "P", "feed, lime, weed or other (default: from the material)"},
    {"zone", "NAME", "a zone of the water (default: all of it)"},
    {"conditions", "TEXT", "wind, rain, how it was put out"},
    {"by", "NAME", "who did it"},
    {"note", "TEXT", "a remark"},
    END};

static lw_status run_treatment_add(cli_call *call, lw_error *err)
{
  lw_id water = 0;
  lw_id material = 0;
  lw_entry entry;
  lw_status s = cli_water_id(&water, call, call->arguments[0], err);
  s = s == LW_OK ? cli_material_id(&material, call, call->arguments[1], err) : s;
  call->fields[call->field_count++] = (lw_field){"amount", call->arguments[2]};
  const lw_form form = cli_form(call);
  s = s == LW_OK ? lw_add_treatment(&entry, &call->desk, water, material, &form, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_treatment_add = {
    "treatment add",
    "WATER MATERIAL AMOUNT",
    "Write down what was put in: \"4 packages\", \"200 lb\" or \"10 gal\".",
    treatment_options,
    3,
    3,
    CLI_STORE,
    run_treatment_add};

static lw_status run_treatment_list(cli_call *call, lw_error *err)
{
  lw_water_sheet *sheet = LW_NEW(call->desk.arena, lw_water_sheet, 1);
  if (!sheet) {
    return lw_fail(err, LW_MEMORY, "no memory for the list");
  }
  lw_status s = lw_work_sheet(sheet, &call->desk, call->arguments[0], 0, err);
  if (s != LW_OK) {
    return s;
  }
  if (call->json) {
    json_t *all = lw_sheet_json(sheet);
    json_t *list = json_pack("{s:O}", "treatments", json_object_get(all, "treatments"));
    json_decref(all);
    return cli_print_json(call, list, err);
  }
  for (size_t i = 0; i < sheet->treatment_count; i++) {
    const lw_treatment *t = &sheet->treatments[i];
    const lw_material *m = lw_sheet_material(sheet, t->material);
    char day[LW_DATE_TEXT];
    char shown[2 * LW_SHOWN_MAX];
    lw_text_addf(call->out, "%s  %-6s %-26s %-24s %s%s%s  [%lld]\n", lw_date_text(t->day, day), t->purpose,
                 m ? m->name : "?", lw_treatment_shown(t, m, sheet->units, shown, sizeof shown), t->by,
                 *t->conditions ? "  " : "", t->conditions, (long long)t->id);
  }
  return LW_OK;
}

const cli_command cli_treatment_list = {
    "treatment list", "WATER",           "What was put into a water, oldest first.", none, 1, 1,
    CLI_STORE,        run_treatment_list};
