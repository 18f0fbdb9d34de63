/* SPDX-License-Identifier: Apache-2.0 */
/* Rows about what is on the shelf and what went into the water: materials, lots, treatments. The rules
 * are those of entries_shelf.c. */
#include "work/import_csv_parts.h"

#include "base/text.h"
#include "base/units.h"
#include "water/dose.h"

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

static bool read_amount(lw_importing *job, lw_import_role role, const char *field, const char *text, bool *volume,
                        double *out)
{
  const lw_csv_cell *at = lw_import_role_cell(job, role);
  const char *unit = job->columns[job->role_at[role]].unit;
  char number[LW_IMPORT_NUMBER];
  char fit[80];
  int which = 0;
  lw_error fault = {0};
  if (lw_import_is_bare(text) && !*unit) {
    fitting(fit, role == LW_IMPORT_AMOUNT);
    lw_import_fault(job, at, "%s: '%.60s' has no unit; put it in the header, like '%s (lb)', or in the cell, "
                             "like '%.60s lb'; what fits is %s", field, text, field, text, fit);
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

/* "4", "4 bags": true with the number. */
static bool read_packages(const char *text, double *out)
{
  const char *end = NULL;
  if (!lw_read_number(text, true, out, &end)) {
    return false;
  }
  end += strspn(end, " \t");
  return *end == '\0' || lw_import_package_word(end);
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

/* A grade makes a fertilizer; ground and hydrated are lime. */
static const char *kind_of(const lw_material *m)
{
  if (*m->grade) {
    return "fertilizer";
  }
  return strcmp(m->form, "ground") == 0 || strcmp(m->form, "hydrated") == 0 ? "lime" : "other";
}

static void finish_material(lw_importing *job, lw_material *m)
{
  lw_grade grade;
  lw_error fault = {0};
  m->kind = *m->kind ? m->kind : kind_of(m);
  if (strcmp(m->kind, "fertilizer") == 0) {
    const lw_csv_cell *at = member_cell(job, "grade");
    if (!*m->grade) {
      lw_import_fault(job, at, "a fertilizer needs its grade, the three numbers on the bag: for example 12-48-8");
    } else {
      (void)lw_import_good(job, at, lw_grade_parse(&grade, m->grade, &fault), &fault);
    }
  }
  if (m->package_l.known && m->density_kg_l.known) {
    m->package_kg = lw_known(m->package_l.value * m->density_kg_l.value);
  } else if (m->package_l.known) {
    lw_import_fault(job, lw_import_role_cell(job, LW_IMPORT_PACKAGE),
                    "a package sold by volume needs the density too, from the label or data sheet: for example "
                    "11.65 lb/gal");
  }
}

void lw_import_material_row(lw_importing *job)
{
  lw_material m;
  lw_kind_clear(LW_KIND_MATERIAL, &m);
  lw_import_members(job, &m);
  set_package(job, &m);
  m.price = lw_import_price(job);
  finish_material(job, &m);
  lw_import_keep(job, &m, member_cell(job, "name"), 0, m.kind, LW_NO_DAY);
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
  if (!read_packages(text, &lot.packages)) {
    lw_import_fault(job, at, "packages: '%.40s' is not a number of packages", text);
  }
  lw_import_keep(job, &lot, at, 0, m ? m->name : "", lot.day);
}

/* ---- treatments ---- */

static void pour(lw_importing *job, lw_treatment *t, const lw_material *m, double volume_l)
{
  if (!m->density_kg_l.known) {
    lw_import_fault(job, lw_import_role_cell(job, LW_IMPORT_AMOUNT),
                    "amount: the density of %.60s is not on record; give the mass, or the density of the "
                    "material first", m->name);
    return;
  }
  t->volume_l = lw_known(volume_l);
  t->mass_kg = volume_l * m->density_kg_l.value;
}

static void unpack(lw_importing *job, lw_treatment *t, const lw_material *m, lw_import_role role,
                   double packages)
{
  const lw_csv_cell *at = lw_import_role_cell(job, role);
  if (!(packages > 0)) {
    lw_import_fault(job, at, "%s: must be more than nothing", job->columns[job->role_at[role]].name);
  } else if (!m->package_kg.known) {
    lw_import_fault(job, at, "the size of a package of %.60s is not on record; give the mass, for example 200 lb",
                    m->name);
  } else {
    t->mass_kg = packages * m->package_kg.value;
    t->volume_l = m->package_l.known ? lw_known(packages * m->package_l.value) : (lw_maybe){0};
  }
}

static void set_packages(lw_importing *job, lw_treatment *t, const lw_material *m, const char *text)
{
  double packages = 0;
  if (read_packages(text, &packages)) {
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
  bool counted_column = lw_import_package_word(job->columns[job->role_at[LW_IMPORT_AMOUNT]].unit);
  bool counted = read_packages(text, &value) && (counted_column || !lw_import_is_bare(text));
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

static const char *purpose_of(const lw_material *m)
{
  return strcmp(m->kind, "fertilizer") == 0 ? "feed" : strcmp(m->kind, "lime") == 0 ? "lime" : "other";
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
    t.purpose = *t.purpose ? t.purpose : purpose_of(m);
    set_amount(job, &t, m);
  }
  const lw_csv_cell *at = lw_import_role_cell(job, LW_IMPORT_MATERIAL);
  lw_import_keep(job, &t, at, t.water, m ? m->name : "", t.day);
}
