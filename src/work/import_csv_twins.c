/* SPDX-License-Identifier: Apache-2.0 */
/* Is a record on record already, or earlier in the table? The description of its kind says what there
 * is to compare. Numbers are compared to nine digits, so that 18 in and 45.72 cm are the same depth. */
#include "work/import_csv_parts.h"

#include "base/text.h"

#include <stdint.h>
#include <string.h>

enum { LONGEST = 64 * 1024, FIRST_BUCKETS = 1024 };

/* What was written beside the thing itself: another remark does not make it another thing. */
static bool is_remark(const lw_column *column)
{
  static const char *const names[] = {"by", "way", "note", "conditions", "purpose", "source", "issued"};
  for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
    if (strcmp(column->name, names[i]) == 0) {
      return true;
    }
  }
  return false;
}

static void add_member(lw_text *out, const lw_column *column, const void *record)
{
  const void *member = (const char *)record + column->offset;
  switch (column->type) {
  case LW_COLUMN_TEXT:
    lw_text_add(out, *(const char *const *)member);
    break;
  case LW_COLUMN_NUMBER:
    lw_text_addf(out, "%.9g", *(const double *)member);
    break;
  case LW_COLUMN_MAYBE:
  case LW_COLUMN_MAYBE_WHOLE:
    if (((const lw_maybe *)member)->known) {
      lw_text_addf(out, "%.9g", ((const lw_maybe *)member)->value);
    }
    break;
  case LW_COLUMN_BOOLEAN:
    lw_text_add(out, *(const bool *)member ? "yes" : "no");
    break;
  case LW_COLUMN_DATE:
  case LW_COLUMN_MAYBE_DATE:
    lw_text_addf(out, "%ld", (long)*(const lw_day *)member);
    break;
  case LW_COLUMN_REFERENCE:
    lw_text_addf(out, "%lld", (long long)*(const lw_id *)member);
    break;
  case LW_COLUMN_OUTLINE: /* no kind that is imported has one */
  case LW_COLUMN_SOUNDINGS:
    break;
  }
  lw_text_add_n(out, "\x1f", 1); /* in no text: the reader refuses control characters */
}

static void describe(lw_importing *job, const void *record)
{
  const lw_kind *kind = &lw_kinds[job->kind];
  lw_text_clear(&job->twins.facts);
  lw_text_clear(&job->twins.remarks);
  for (size_t i = 0; i < kind->column_count; i++) {
    const lw_column *column = &kind->columns[i];
    add_member(is_remark(column) ? &job->twins.remarks : &job->twins.facts, column, record);
  }
}

/* FNV-1a (Fowler, Noll & Vo), 64 bits. */
static uint64_t hash(const char *text)
{
  uint64_t h = 14695981039346656037u;
  for (; *text; text++) {
    h = (h ^ (unsigned char)*text) * 1099511628211u;
  }
  return h;
}

static void chain(lw_import_twins *t, size_t index)
{
  size_t *bucket = &t->buckets[hash(t->items[index].facts) & (t->bucket_count - 1)];
  t->items[index].next = *bucket;
  *bucket = index + 1;
}

static bool grow(lw_importing *job)
{
  lw_import_twins *t = &job->twins;
  size_t capacity = t->capacity ? t->capacity * 2 : FIRST_BUCKETS;
  lw_import_twin *items = LW_NEW(job->desk->arena, lw_import_twin, capacity);
  size_t *buckets = LW_NEW(job->desk->arena, size_t, capacity);
  if (!items || !buckets) {
    return false;
  }
  if (t->count) {
    memcpy(items, t->items, t->count * sizeof *items);
  }
  t->items = items;
  t->buckets = buckets;
  t->capacity = t->bucket_count = capacity;
  for (size_t i = 0; i < t->count; i++) {
    chain(t, i);
  }
  return true;
}

/* Learns the record that was described last. */
static bool learn(lw_importing *job, lw_id id, long line)
{
  lw_import_twins *t = &job->twins;
  if ((t->count == t->capacity && !grow(job)) || t->facts.failed || t->remarks.failed) {
    return false;
  }
  lw_import_twin *twin = &t->items[t->count];
  twin->facts = lw_arena_copy(job->desk->arena, lw_text_view(&t->facts));
  twin->remarks = lw_arena_copy(job->desk->arena, lw_text_view(&t->remarks));
  twin->id = id;
  twin->line = line;
  if (!twin->facts || !twin->remarks) {
    return false;
  }
  chain(t, t->count++);
  return true;
}

lw_status lw_import_twins_begin(lw_importing *job, lw_error *err)
{
  char *records = NULL;
  size_t count = 0;
  job->twins.facts = LW_TEXT(LONGEST);
  job->twins.remarks = LW_TEXT(LONGEST);
  lw_status s = lw_store_list(job->desk->store, job->kind, 0, job->desk->arena, &records, &count, err);
  for (size_t i = 0; s == LW_OK && i < count; i++) {
    const void *record = records + i * lw_kinds[job->kind].size;
    describe(job, record);
    if (!learn(job, *(const lw_id *)record, 0)) {
      s = lw_fail(err, LW_MEMORY, "there is no memory to compare with the %zu %s on record", count,
                  lw_kinds[job->kind].plural);
    }
  }
  return s;
}

void lw_import_twins_end(lw_importing *job)
{
  lw_text_free(&job->twins.facts);
  lw_text_free(&job->twins.remarks);
}

lw_import_likeness lw_import_twin_of(lw_importing *job, const void *record, long line, lw_import_twin *out)
{
  lw_import_twins *t = &job->twins;
  lw_import_likeness likeness = LW_IMPORT_NEW;
  describe(job, record);
  size_t at = t->bucket_count ? t->buckets[hash(lw_text_view(&t->facts)) & (t->bucket_count - 1)] : 0;
  for (; at; at = t->items[at - 1].next) {
    const lw_import_twin *twin = &t->items[at - 1];
    if (strcmp(twin->facts, lw_text_view(&t->facts)) == 0) {
      likeness = LW_IMPORT_NEAR;
      *out = *twin;
      if (strcmp(twin->remarks, lw_text_view(&t->remarks)) == 0) {
        return LW_IMPORT_TWIN;
      }
    }
  }
  if (!learn(job, 0, line)) {
    lw_import_stop_memory(job);
  }
  return likeness;
}
