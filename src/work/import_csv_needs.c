/* SPDX-License-Identifier: Apache-2.0 */
/* Which columns a table of each kind cannot do without. */
#include "work/import_csv_parts.h"

#include <string.h>

static bool has_member(const lw_importing *job, const char *name)
{
  for (size_t i = 0; i < job->csv.column_count; i++) {
    const lw_import_column *c = &job->columns[i];
    if (c->name && c->role == LW_IMPORT_MEMBER && strcmp(c->member->name, name) == 0) {
      return true;
    }
  }
  return false;
}

static void require(lw_importing *job, bool there, const char *what)
{
  if (!there) {
    lw_import_fault(job, &job->csv.header[0], "a table of %s needs %s", lw_kinds[job->kind].plural, what);
  }
}

static void require_readings(lw_importing *job)
{
  bool long_form = job->role_at[LW_IMPORT_QUANTITY] >= 0 || job->role_at[LW_IMPORT_VALUE] >= 0;
  bool wide = job->role_at[LW_IMPORT_READING] >= 0;
  if (long_form && wide) {
    lw_import_fault(job, &job->csv.header[job->role_at[LW_IMPORT_READING]],
                    "either the columns quantity and value, or one column a quantity: not both");
  } else if (long_form) {
    require(job, job->role_at[LW_IMPORT_QUANTITY] >= 0, "the column quantity beside value");
    require(job, job->role_at[LW_IMPORT_VALUE] >= 0, "the column value beside quantity");
  } else {
    require(job, wide, "the columns quantity and value, or one column a quantity such as 'secchi (in)'");
    require(job, job->role_at[LW_IMPORT_UNIT] < 0, "no column unit where each quantity has its own column");
  }
}

void lw_import_needs(lw_importing *job)
{
  const int *at = job->role_at;
  lw_kind_id kind = job->kind;
  bool by_water = kind == LW_KIND_READING || kind == LW_KIND_TREATMENT;
  require(job, kind == LW_KIND_MATERIAL || at[LW_IMPORT_DATE] >= 0, "the column date");
  require(job, !by_water || at[LW_IMPORT_WATER] >= 0 || job->given_water,
          "the column water, or one water named "
          "for all rows (--water)");
  if (kind == LW_KIND_READING) {
    require_readings(job);
  } else if (kind == LW_KIND_TREATMENT) {
    require(job, at[LW_IMPORT_MATERIAL] >= 0, "the column material");
    require(job, at[LW_IMPORT_AMOUNT] >= 0 || at[LW_IMPORT_PACKAGES] >= 0, "the column amount or packages");
  } else if (kind == LW_KIND_LOT) {
    require(job, at[LW_IMPORT_MATERIAL] >= 0, "the column material");
    require(job, at[LW_IMPORT_PACKAGES] >= 0, "the column packages");
  } else if (kind == LW_KIND_MATERIAL) {
    require(job, has_member(job, "name"), "the column name");
    require(job, has_member(job, "form"), "the column form");
  } else if (kind == LW_KIND_NOTE) {
    require(job, has_member(job, "text"), "the column text");
  } else {
    require(job, at[LW_IMPORT_FORECAST] >= 0, "the column forecast: yes for a forecast, no for weather seen");
    require(job,
            has_member(job, "rain_mm") || has_member(job, "wind_m_s") || has_member(job, "air_c") ||
                has_member(job, "cloud_pct"),
            "one of the columns rain, wind, air and cloud");
  }
}
