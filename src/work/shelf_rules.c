/* SPDX-License-Identifier: Apache-2.0 */
#include "work/shelf_rules.h"

#include "base/text.h"
#include "water/dose.h"

#include <string.h>

static const char *kind_of(const lw_material *m)
{
  if (*m->grade) {
    return "fertilizer";
  }
  return strcmp(m->form, "ground") == 0 || strcmp(m->form, "hydrated") == 0 ? "lime" : "other";
}

lw_status lw_material_settle_kind(lw_material *material, lw_error *err)
{
  lw_grade grade;
  material->kind = *material->kind ? material->kind : kind_of(material);
  if (strcmp(material->kind, "fertilizer") != 0) {
    return LW_OK;
  }
  if (!*material->grade) {
    return lw_fail(err, LW_INVALID,
                   "a fertilizer needs its grade, the three numbers on the bag: for example "
                   "12-48-8");
  }
  return lw_grade_parse(&grade, material->grade, err);
}

lw_status lw_material_weigh_package(lw_material *material, lw_error *err)
{
  if (!material->package_l.known) {
    return LW_OK;
  }
  if (!material->density_kg_l.known) {
    return lw_fail(err, LW_INVALID,
                   "a package sold by volume needs the density too, from the label or data "
                   "sheet: for example 11.65 lb/gal");
  }
  material->package_kg = lw_known(material->package_l.value * material->density_kg_l.value);
  return LW_OK;
}

bool lw_is_package_word(const char *word)
{
  static const char *const words[] = {"", "packages", "package", "bags", "bag", "sacks", "sack", "x"};
  for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
    if (lw_same_word(word, words[i])) {
      return true;
    }
  }
  return false;
}

bool lw_read_packages(const char *text, double *out)
{
  const char *end = NULL;
  return lw_read_number(text, true, out, &end) && lw_is_package_word(end + strspn(end, " \t"));
}

lw_status lw_treatment_take_packages(lw_treatment *treatment, const lw_material *material, double packages,
                                     lw_error *err)
{
  if (!(packages > 0)) {
    return lw_fail(err, LW_INVALID, "amount: it must be more than nothing");
  }
  if (!material->package_kg.known) {
    return lw_fail(err, LW_INVALID,
                   "amount: the size of a package of %.60s is not on record; give the mass, for "
                   "example 200 lb",
                   material->name);
  }
  treatment->mass_kg = packages * material->package_kg.value;
  treatment->volume_l = (lw_maybe){0};
  if (material->package_l.known) {
    treatment->volume_l = lw_known(packages * material->package_l.value);
  }
  return LW_OK;
}

lw_status lw_treatment_take_volume(lw_treatment *treatment, const lw_material *material, double volume_l,
                                   lw_error *err)
{
  if (!material->density_kg_l.known) {
    return lw_fail(err, LW_INVALID,
                   "amount: the density of %.60s is not on record; give the mass, or the density "
                   "of the material first",
                   material->name);
  }
  treatment->volume_l = lw_known(volume_l);
  treatment->mass_kg = volume_l * material->density_kg_l.value;
  return LW_OK;
}

const char *lw_material_purpose(const lw_material *material)
{
  return strcmp(material->kind, "fertilizer") == 0 ? "feed"
         : strcmp(material->kind, "lime") == 0     ? "lime"
                                                   : "other";
}
