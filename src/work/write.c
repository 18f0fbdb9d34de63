/* SPDX-License-Identifier: Apache-2.0 */
#include "work/write.h"

#include "work/book.h"

#include <string.h>

static lw_status write_it(lw_entry *out, const lw_desk *desk, lw_kind_id kind, lw_id id, const void *record,
                          lw_error *err)
{
  lw_status s = id ? lw_store_update(desk->store, kind, id, record, err)
                   : lw_store_add(desk->store, kind, record, &id, err);
  if (s == LW_OK) {
    s = lw_store_commit(desk->store, &out->change, err);
  }
  out->id = id;
  return s;
}

lw_status lw_write_record(lw_entry *out, const lw_desk *desk, lw_kind_id kind, lw_id id, const void *record,
                          const char *shown, lw_error *err)
{
  *out = (lw_entry){.kind = kind, .shown = shown ? shown : ""};
  const lw_change change = {.who = desk->who, .why = desk->why, .action = out->shown, .at = desk->now};
  lw_status s = lw_store_begin(desk->store, &change, err);
  if (s != LW_OK) {
    return s;
  }
  s = write_it(out, desk, kind, id, record, err);
  if (s != LW_OK) {
    lw_store_rollback(desk->store);
    return s;
  }
  return lw_store_revision(desk->store, &out->revision, err);
}

lw_status lw_remove_as(lw_entry *out, const lw_desk *desk, lw_kind_id kind, lw_id id, const char *shown,
                       lw_error *err)
{
  *out = (lw_entry){.kind = kind, .id = id, .shown = shown};
  const lw_change change = {.who = desk->who, .why = desk->why, .action = out->shown, .at = desk->now};
  lw_status s = lw_store_begin(desk->store, &change, err);
  if (s != LW_OK) {
    return s;
  }
  s = lw_store_remove(desk->store, kind, id, err);
  s = s == LW_OK ? lw_store_commit(desk->store, &out->change, err) : s;
  if (s != LW_OK) {
    lw_store_rollback(desk->store);
    return s;
  }
  return lw_store_revision(desk->store, &out->revision, err);
}

lw_status lw_water_name(const char **out, const lw_desk *desk, lw_id water, lw_error *err)
{
  *out = "the whole place";
  if (water == 0) {
    return LW_OK;
  }
  lw_water record;
  lw_status s = lw_store_get(desk->store, LW_KIND_WATER, water, desk->arena, &record, err);
  if (s == LW_OK) {
    *out = record.name;
  }
  return s;
}

lw_status lw_desk_units(lw_unit_system *out, const lw_desk *desk, lw_id water, lw_error *err)
{
  lw_book settings;
  lw_status s = lw_book_settings(&settings, desk, err);
  *out = settings.units;
  if (s == LW_OK && water) {
    lw_water record;
    s = lw_store_get(desk->store, LW_KIND_WATER, water, desk->arena, &record, err);
    if (s == LW_OK && *record.units) {
      *out = strcmp(record.units, "metric") == 0 ? LW_METRIC : LW_US;
    }
  }
  return s;
}
