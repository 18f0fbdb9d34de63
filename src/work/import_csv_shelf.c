/* SPDX-License-Identifier: Apache-2.0 */
/* Rows about what is on the shelf and what went into the water: materials, lots, treatments. The rules
 * are those of entries_shelf.c. */
#include "work/import_csv_parts.h"

#include "work/shelf_rules.h"

#include "base/text.h"
#include "base/units.h"

#include <stdio.h>
#include <string.h>

static const lw_csv_cell *member_cell(const lw_importing *job, const char *name)
{
  for (size_t i = 0; i < job->csv.column_count; i++) {
    const lw_import_column *c = &job->columns[i];
    if (c->role == LW_IMPORT_MEMBER && strcmp(c->member->name, name) == 0) {
      return lw_import_cell(job, i);
    }
  }
  return lw_import_cell(job, 0);
}

/* ---- an amount: a mass, or a volume that a density turns into one ---- */

/* What fits an amount or a package, for people. */
static void fitting(char out[80], bool packages)
{
  (void)snprintf(out, 80, "%s%s; %s", packages ? "packages; " : "", lw_import_units_for("kg"),
                 lw_import_units_for("L"));
}

static bool read_amount(lw_importing *job, lw_import_role role, const char *field, const char *text,
                        bool *volume, double *out)
{
  const lw_csv_cell *at = lw_import_role_cell(job, role);
  const char *unit = job->columns[job->role_at[role]].unit;
  char number[LW_IMPORT_NUMBER];
  char fit[80];
  int which = 0;
  lw_error fault = {0};
  if (lw_import_is_bare(text) && !*unit) {
    fitting(fit, role == LW_IMPORT_AMOUNT);
    lw_import_fault(job, at,
                    "%s: '%.60s' has no unit; put it in the header, like '%s (lb)', or in the cell, "
                    "like '%.60s lb'; what fits is %s",
                    field, text, field, text, fit);
    return false;
  }
  if (!lw_import_with_unit(job, at, field, text, unit, "kg", number)) {
    return false;
  }
  lw_status s = lw_quantity_parse_either(out, &which, field, number, "kg", "L", &fault);
  if (s == LW_OK && !(*out > 0)) {
    s = lw_fail(&fault, LW_INVALID, "%s: '%.40s' must be more than nothing", field, number);
  }
  *volume = which == 1;
  return lw_import_good(job, at, s, &fault);
}

/* ---- materials ---- */

static void set_package(lw_importing *job, lw_material *m)
{
  const char *text = lw_import_role_text(job, LW_IMPORT_PACKAGE);
  bool volume = false;
  double value = 0;
  if (*text && read_amount(job, LW_IMPORT_PACKAGE, "package", text, &volume, &value)) {
    *(volume ? &m->package_l : &m->package_kg) = lw_known(value);
  }
}

static void finish_material(lw_importing *job, lw_material *m)
{
  lw_error fault = {0};
  (void)lw_import_good(job, member_cell(job, "grade"), lw_material_settle_kind(m, &fault), &fault);
  (void)lw_import_good(job, lw_import_role_cell(job, LW_IMPORT_PACKAGE), lw_material_weigh_package(m, &fault),
                       &fault);
}

void lw_import_material_row(lw_importing *job)
{
  lw_material m;
  lw_kind_clear(LW_KIND_MATERIAL, &m);
  lw_import_members(job, &m);
  set_package(job, &m);
  m.price = lw_import_price(job);
  finish_material(job, &m);
  (void)lw_import_keep(job, &m, member_cell(job, "name"), 0, m.kind, LW_NO_DAY);
}

/* ---- lots ---- */

void lw_import_lot_row(lw_importing *job)
{
  lw_lot lot;
  lw_kind_clear(LW_KIND_LOT, &lot);
  const lw_csv_cell *at = lw_import_role_cell(job, LW_IMPORT_PACKAGES);
  const char *text = lw_import_role_text(job, LW_IMPORT_PACKAGES);
  const lw_material *m = lw_import_material(job);
  lot.material = m ? m->id : 0;
  lot.day = lw_import_day(job, false);
  lw_import_members(job, &lot);
  lot.price = lw_import_price(job);
  if (!lw_read_packages(text, &lot.packages)) {
    lw_import_fault(job, at, "packages: '%.40s' is not a number of packages", text);
  }
  (void)lw_import_keep(job, &lot, at, 0, m ? m->name : "", lot.day);
}

/* ---- treatments ---- */

static void pour(lw_importing *job, lw_treatment *t, const lw_material *m, double volume_l)
{
  lw_error fault = {0};
  (void)lw_import_good(job, lw_import_role_cell(job, LW_IMPORT_AMOUNT),
                       lw_treatment_take_volume(t, m, volume_l, &fault), &fault);
}

static void unpack(lw_importing *job, lw_treatment *t, const lw_material *m, lw_import_role role,
                   double packages)
{
  lw_error fault = {0};
  (void)lw_import_good(job, lw_import_role_cell(job, role),
                       lw_treatment_take_packages(t, m, packages, &fault), &fault);
}

static void set_packages(lw_importing *job, lw_treatment *t, const lw_material *m, const char *text)
{
  double packages = 0;
  if (lw_read_packages(text, &packages)) {
    unpack(job, t, m, LW_IMPORT_PACKAGES, packages);
  } else {
    lw_import_fault(job, lw_import_role_cell(job, LW_IMPORT_PACKAGES),
                    "packages: '%.40s' is not a number of packages", text);
  }
}

static void set_mass(lw_importing *job, lw_treatment *t, const lw_material *m, const char *text)
{
  double value = 0;
  bool volume = false;
  const char *unit = job->columns[job->role_at[LW_IMPORT_AMOUNT]].unit;
  bool counted_column = *unit && lw_is_package_word(unit);
  bool counted = lw_read_packages(text, &value) && (counted_column || !lw_import_is_bare(text));
  if (counted) {
    unpack(job, t, m, LW_IMPORT_AMOUNT, value);
  } else if (read_amount(job, LW_IMPORT_AMOUNT, "amount", text, &volume, &value)) {
    t->mass_kg = value;
    if (volume) {
      pour(job, t, m, value);
    }
  }
}

/* Either the amount or the packages. */
static void set_amount(lw_importing *job, lw_treatment *t, const lw_material *m)
{
  const char *amount = lw_import_role_text(job, LW_IMPORT_AMOUNT);
  const char *packages = lw_import_role_text(job, LW_IMPORT_PACKAGES);
  lw_import_role given = job->role_at[LW_IMPORT_AMOUNT] >= 0 ? LW_IMPORT_AMOUNT : LW_IMPORT_PACKAGES;
  if (*amount && *packages) {
    lw_import_fault(job, lw_import_role_cell(job, LW_IMPORT_PACKAGES),
                    "both an amount and packages are given; give one of them");
  } else if (*amount) {
    set_mass(job, t, m, amount);
  } else if (*packages) {
    set_packages(job, t, m, packages);
  } else {
    lw_import_fault(job, lw_import_role_cell(job, given),
                    "a treatment needs its amount: for example '4 packages', '200 lb' or '10 gal'");
  }
}

void lw_import_treatment_row(lw_importing *job)
{
  lw_treatment t;
  lw_kind_clear(LW_KIND_TREATMENT, &t);
  t.water = lw_import_water(job);
  t.zone = lw_import_zone(job, t.water);
  const lw_material *m = lw_import_material(job);
  t.day = lw_import_day(job, false);
  lw_import_members(job, &t);
  if (m) {
    t.material = m->id;
    t.purpose = *t.purpose ? t.purpose : lw_material_purpose(m);
    set_amount(job, &t, m);
  }
  const lw_csv_cell *at = lw_import_role_cell(job, LW_IMPORT_MATERIAL);
  (void)lw_import_keep(job, &t, at, t.water, m ? m->name : "", t.day);
}
