/* SPDX-License-Identifier: Apache-2.0 */
/* The order of lists. A store may hold hundreds of thousands of readings and every face reads them
 * all at its start: days are sorted by counting, and records change places where they lie, because
 * touching fresh memory costs more than all else here (measured: half of the time of a list). */
#include "store/internal.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

typedef struct rows {
  char *records;
  size_t size, count;
  const lw_column *by; /* a unique name or a date; NULL: by id alone */
} rows;

static const char *at(const rows *of, size_t i)
{
  return of->records + i * of->size;
}

static lw_day day_of(const rows *of, size_t i)
{
  return *(const lw_day *)lw_member(at(of, i), of->by);
}

static const char *name_of(const char *record, const lw_column *column)
{
  return *(const char *const *)lw_member(record, column);
}

static int compare_records(const char *a, const char *b, const lw_column *by)
{
  int order = 0;
  if (by && by->type == LW_COLUMN_DATE) {
    lw_day x = *(const lw_day *)lw_member(a, by);
    lw_day y = *(const lw_day *)lw_member(b, by);
    order = (x > y) - (x < y);
  } else if (by) {
    order = strcasecmp(name_of(a, by), name_of(b, by));
  }
  lw_id x = lw_record_id(a);
  lw_id y = lw_record_id(b);
  return order ? order : (x > y) - (x < y);
}

static bool in_order(const rows *of, const lw_column *by)
{
  for (size_t i = 1; i < of->count; i++) {
    if (compare_records(at(of, i - 1), at(of, i), by) > 0) {
      return false;
    }
  }
  return true;
}

/* ---- in which order ---- */

/* order[i] is the record that comes i-th; ids must ascend. false where the span of days is too wide
 * for counting, or memory is short: the general way then does it. */
static bool count_days(const rows *of, size_t *order)
{
  lw_day low = day_of(of, 0);
  lw_day high = low;
  for (size_t i = 1; i < of->count; i++) {
    lw_day day = day_of(of, i);
    low = day < low ? day : low;
    high = day > high ? day : high;
  }
  size_t span = (size_t)((int64_t)high - low) + 1;
  size_t *starts = span / 16 <= of->count ? calloc(span, sizeof *starts) : NULL;
  if (!starts) {
    return false;
  }
  for (size_t i = 0; i < of->count; i++) {
    starts[day_of(of, i) - low]++;
  }
  size_t before = 0;
  for (size_t day = 0; day < span; day++) {
    size_t here = starts[day];
    starts[day] = before;
    before += here;
  }
  for (size_t i = 0; i < of->count; i++) {
    order[starts[day_of(of, i) - low]++] = i;
  }
  free(starts);
  return true;
}

/* qsort hands no context to its comparison: each key brings its own. */
typedef struct key {
  const char *record;
  const lw_column *by;
} key;

static int compare_keys(const void *a, const void *b)
{
  const key *x = a;
  const key *y = b;
  return compare_records(x->record, y->record, x->by);
}

static bool compare_all(const rows *of, size_t *order)
{
  key *keys = calloc(of->count, sizeof *keys);
  if (!keys) {
    return false;
  }
  for (size_t i = 0; i < of->count; i++) {
    keys[i] = (key){at(of, i), of->by};
  }
  qsort(keys, of->count, sizeof *keys, compare_keys);
  for (size_t i = 0; i < of->count; i++) {
    order[i] = (size_t)(keys[i].record - of->records) / of->size;
  }
  free(keys);
  return true;
}

/* ---- moving ---- */

/* Follows each cycle of the permutation with one record in hand; `order` is used up. */
static void permute(const rows *of, size_t *order)
{
  lw_any_record hand;
  for (size_t start = 0; start < of->count; start++) {
    if (order[start] == start) {
      continue;
    }
    memcpy(&hand, at(of, start), of->size);
    size_t hole = start;
    while (order[hole] != start) {
      size_t from = order[hole];
      memcpy(of->records + hole * of->size, at(of, from), of->size);
      order[hole] = hole;
      hole = from;
    }
    memcpy(of->records + hole * of->size, &hand, of->size);
    order[hole] = hole;
  }
}

static const lw_column *sort_column(const lw_kind *kind)
{
  for (size_t i = 0; i < kind->column_count; i++) {
    if (kind->columns[i].unique || kind->columns[i].type == LW_COLUMN_DATE) {
      return &kind->columns[i];
    }
  }
  return NULL;
}

lw_status lw_records_sort(lw_kind_id kind, void *records, size_t count, lw_error *err)
{
  rows of = {records, lw_kinds[kind].size, count, sort_column(&lw_kinds[kind])};
  if (count < 2 || in_order(&of, of.by)) {
    return LW_OK;
  }
  size_t *order = calloc(count, sizeof *order);
  if (!order) {
    return lw_fail_memory(err);
  }
  bool dated = of.by && of.by->type == LW_COLUMN_DATE && in_order(&of, NULL);
  bool sorted = (dated && count_days(&of, order)) || compare_all(&of, order);
  if (sorted) {
    permute(&of, order);
  }
  free(order);
  return sorted ? LW_OK : lw_fail_memory(err);
}
