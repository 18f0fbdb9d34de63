/* SPDX-License-Identifier: Apache-2.0 */
#include "work/entries.h"

#include "base/text.h"
#include "base/units.h"
#include "work/form.h"
#include "work/shelf_rules.h"
#include "work/write.h"

#include <string.h>

static lw_status no_memory(lw_error *err)
{
  return lw_fail(err, LW_MEMORY, "no memory for this entry");
}

/* "50 lb" is a mass, "1 gal" a volume that the density turns into a mass. */
static lw_status set_package(lw_material *m, const char *text, lw_error *err)
{
  double value = 0;
  int which = 0;
  m->package_kg = m->package_l = (lw_maybe){0};
  if (!text) {
    return LW_OK;
  }
  lw_status s = lw_quantity_parse_either(&value, &which, "package", text, "kg", "L", err);
  if (s != LW_OK) {
    return s;
  }
  if (value <= 0) {
    return lw_fail(err, LW_INVALID, "package: '%.40s' must be more than nothing", text);
  }
  if (which == 0) {
    m->package_kg = lw_known(value);
  } else {
    m->package_l = lw_known(value);
  }
  return LW_OK;
}

static lw_status set_price(lw_material *m, const char *text, lw_error *err)
{
  double value = 0;
  m->price = (lw_maybe){0};
  if (!text) {
    return LW_OK;
  }
  lw_status s = lw_quantity_parse(&value, "price", text, "$", err);
  if (s == LW_OK && (value < 0 || value > 1e7)) {
    s = lw_fail(err, LW_INVALID, "price: '%.40s' must be 0 to 10,000,000 for one package", text);
  }
  m->price = s == LW_OK ? lw_known(value) : (lw_maybe){0};
  return s;
}

static lw_status fill_material(lw_material *m, const lw_desk *desk, const lw_form *form, lw_error *err)
{
  static const char *const skip[] = {"package", "price", NULL};
  lw_status s = lw_form_apply(form, LW_KIND_MATERIAL, m, skip, desk, err);
  if (s == LW_OK && lw_form_has(form, "package")) {
    s = set_package(m, lw_form_get(form, "package"), err);
  }
  if (s == LW_OK && lw_form_has(form, "price")) {
    s = set_price(m, lw_form_get(form, "price"), err);
  }
  s = s == LW_OK ? lw_material_settle_kind(m, err) : s;
  return s == LW_OK ? lw_material_weigh_package(m, err) : s;
}

lw_status lw_add_material(lw_entry *out, const lw_desk *desk, const lw_form *form, lw_error *err)
{
  lw_material m;
  lw_kind_clear(LW_KIND_MATERIAL, &m);
  lw_status s = fill_material(&m, desk, form, err);
  if (s != LW_OK) {
    return s;
  }
  const char *shown = lw_arena_format(desk->arena, "%s: added to the shelf list", m.name);
  return shown ? lw_write_record(out, desk, LW_KIND_MATERIAL, 0, &m, shown, err) : no_memory(err);
}

lw_status lw_change_material(lw_entry *out, const lw_desk *desk, lw_id id, const lw_form *form, lw_error *err)
{
  lw_material m;
  lw_status s = lw_store_get(desk->store, LW_KIND_MATERIAL, id, desk->arena, &m, err);
  s = s == LW_OK ? fill_material(&m, desk, form, err) : s;
  if (s != LW_OK) {
    return s;
  }
  const char *shown = lw_arena_format(desk->arena, "%s: changed", m.name);
  return shown ? lw_write_record(out, desk, LW_KIND_MATERIAL, id, &m, shown, err) : no_memory(err);
}

lw_status lw_add_lot(lw_entry *out, const lw_desk *desk, lw_id material, const lw_form *form, lw_error *err)
{
  static const char *const skip[] = {"on", "packages", "price", NULL};
  lw_lot lot;
  lw_material m;
  lw_kind_clear(LW_KIND_LOT, &lot);
  lw_status s = lw_store_get(desk->store, LW_KIND_MATERIAL, material, desk->arena, &m, err);
  s = s == LW_OK ? lw_form_apply(form, LW_KIND_LOT, &lot, skip, desk, err) : s;
  const char *packages = lw_form_get(form, "packages");
  if (s == LW_OK && (!packages || !lw_read_packages(packages, &lot.packages))) {
    s = lw_fail(err, LW_INVALID, "packages: '%.40s' is not a number of packages", packages ? packages : "");
  }
  s = s == LW_OK ? set_price(&m, lw_form_get(form, "price"), err) : s;
  s = s == LW_OK ? lw_form_day(&lot.day, "day", lw_form_get(form, "on"), false, desk, err) : s;
  if (s != LW_OK) {
    return s;
  }
  lot.material = material;
  lot.price = m.price;
  char number[LW_NUMBER_MAX];
  const char *shown = lw_arena_format(desk->arena, "%s: %s packages on the shelf list", m.name,
                                      lw_number_text(lot.packages, number));
  return shown ? lw_write_record(out, desk, LW_KIND_LOT, 0, &lot, shown, err) : no_memory(err);
}

static lw_status set_amount(lw_treatment *t, const lw_material *m, const char *text, lw_error *err)
{
  double value = 0;
  int which = 0;
  if (!text) {
    return lw_fail(err, LW_INVALID,
                   "a treatment needs its amount: for example '4 packages', '200 lb' or "
                   "'10 gal'");
  }
  if (lw_read_packages(text, &value)) {
    return lw_treatment_take_packages(t, m, value, err);
  }
  lw_status s = lw_quantity_parse_either(&value, &which, "amount", text, "kg", "L", err);
  if (s == LW_OK && !(value > 0)) {
    return lw_fail(err, LW_INVALID, "amount: '%.40s' must be more than nothing", text);
  }
  if (s == LW_OK && which == 1) {
    return lw_treatment_take_volume(t, m, value, err);
  }
  t->mass_kg = value;
  return s;
}

static lw_status set_zone(lw_treatment *t, const lw_desk *desk, lw_id water, const char *name, lw_error *err)
{
  lw_zone *zones = NULL;
  size_t n = 0;
  if (!name || !*name) {
    return LW_OK;
  }
  lw_status s = lw_store_list(desk->store, LW_KIND_ZONE, water, desk->arena, &zones, &n, err);
  for (size_t i = 0; s == LW_OK && i < n; i++) {
    if (lw_same_word(zones[i].name, name)) {
      t->zone = zones[i].id;
      return LW_OK;
    }
  }
  return s == LW_OK ? lw_fail(err, LW_NOT_FOUND, "this water has no zone '%.60s'", name) : s;
}

lw_status lw_add_treatment(lw_entry *out, const lw_desk *desk, lw_id water, lw_id material,
                           const lw_form *form, lw_error *err)
{
  static const char *const skip[] = {"on", "amount", "zone", NULL};
  lw_treatment t;
  lw_material m;
  const char *name = NULL;
  lw_kind_clear(LW_KIND_TREATMENT, &t);
  lw_status s = lw_water_name(&name, desk, water, err);
  s = s == LW_OK ? lw_store_get(desk->store, LW_KIND_MATERIAL, material, desk->arena, &m, err) : s;
  s = s == LW_OK ? lw_form_apply(form, LW_KIND_TREATMENT, &t, skip, desk, err) : s;
  s = s == LW_OK ? set_amount(&t, &m, lw_form_get(form, "amount"), err) : s;
  s = s == LW_OK ? set_zone(&t, desk, water, lw_form_get(form, "zone"), err) : s;
  s = s == LW_OK ? lw_form_day(&t.day, "day", lw_form_get(form, "on"), false, desk, err) : s;
  if (s != LW_OK) {
    return s;
  }
  t.water = water;
  t.material = material;
  t.purpose = *t.purpose ? t.purpose : lw_material_purpose(&m);
  char day[LW_DATE_TEXT];
  const char *shown = lw_arena_format(desk->arena, "%s: %s of %s on %s", name, lw_form_get(form, "amount"),
                                      m.name, lw_date_text(t.day, day));
  return shown ? lw_write_record(out, desk, LW_KIND_TREATMENT, 0, &t, shown, err) : no_memory(err);
}
