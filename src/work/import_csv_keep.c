/* SPDX-License-Identifier: Apache-2.0 */
/* A finished record goes into the change: known ones are set aside, the store checks the rest. */
#include "work/import_csv_parts.h"

#include "base/text.h"

#include <stdio.h>
#include <string.h>

/* What the store calls the members that a column fills. */
static bool fills(const lw_import_column *c, const char *label)
{
  switch (c->role) {
  case LW_IMPORT_MEMBER:
    return strcmp(c->member->label, label) == 0;
  case LW_IMPORT_AMOUNT:
    return strcmp(label, "mass") == 0 || strcmp(label, "volume") == 0;
  case LW_IMPORT_PACKAGES:
    return strcmp(label, "packages") == 0 || strcmp(label, "mass") == 0 || strcmp(label, "volume") == 0;
  case LW_IMPORT_PACKAGE:
    return strcmp(label, "mass of a package") == 0 || strcmp(label, "volume of a package") == 0;
  case LW_IMPORT_PRICE:
    return strcmp(label, "price of a package") == 0;
  case LW_IMPORT_WATER:
    return strcmp(label, "water") == 0;
  default:
    return false;
  }
}

/* The store's messages begin with the kind and the label of the member they are about: the longest
 * label that fits names the member. */
static const char *label_in(lw_kind_id kind, const char *message)
{
  const char *found = NULL;
  size_t n = strlen(lw_kinds[kind].name);
  if (strncmp(message, lw_kinds[kind].name, n) != 0 || message[n] != ' ') {
    return NULL;
  }
  message += n + 1;
  for (size_t i = 0; i < lw_kinds[kind].column_count; i++) {
    const char *label = lw_kinds[kind].columns[i].label;
    if (lw_starts_with(message, label) && (!found || strlen(label) > strlen(found))) {
      found = label;
    }
  }
  return found;
}

/* The cell a fault of the store is about, `at` where that cannot be told. */
static const lw_csv_cell *guilty_cell(lw_importing *job, const lw_csv_cell *at, const char *message)
{
  const char *label = label_in(job->kind, message);
  for (size_t i = 0; label && i < job->csv.column_count; i++) {
    if (fills(&job->columns[i], label) && *lw_import_text(job, i)) {
      return lw_import_cell(job, i);
    }
  }
  return at;
}

static const char *where(const lw_importing *job, const lw_import_twin *twin, char out[80])
{
  if (twin->id) {
    (void)snprintf(out, 80, "is on record already (%s %lld)", lw_kinds[job->kind].name, (long long)twin->id);
  } else {
    (void)snprintf(out, 80, "stands on line %ld too", twin->line);
  }
  return out;
}

/* true when the record is to go in. */
static bool is_new(lw_importing *job, const void *record, const lw_csv_cell *at)
{
  lw_import_twin twin = {0};
  char place[80];
  switch (lw_import_twin_of(job, record, at->line, &twin)) {
  case LW_IMPORT_TWIN:
    lw_import_duplicate(job, at, where(job, &twin, place));
    return false;
  case LW_IMPORT_NEAR:
    if (job->kind != LW_KIND_MATERIAL) { /* whose names the store keeps apart */
      lw_import_question(job, at, "the same %s %s, with other remarks. Is this another one?",
                         lw_kinds[job->kind].name, where(job, &twin, place));
    }
    return true;
  case LW_IMPORT_NEW:
    break;
  }
  return true;
}

bool lw_import_keep(lw_importing *job, const void *record, const lw_csv_cell *at, lw_id water,
                    const char *what, lw_day day)
{
  lw_id id = 0;
  lw_error fault = {0};
  if (job->row_faults || job->stop != LW_OK || !is_new(job, record, at)) {
    return false;
  }
  lw_status s = lw_store_add(job->desk->store, job->kind, record, &id, &fault);
  const lw_csv_cell *cell = s == LW_OK ? at : guilty_cell(job, at, fault.message);
  if (!lw_import_good(job, cell, s, &fault)) {
    return false;
  }
  job->report->added++;
  lw_import_mark_one(job, water, what, day);
  return true;
}
