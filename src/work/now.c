/* SPDX-License-Identifier: Apache-2.0 */
#include "work/now.h"

#include "work/book.h"

#include <stdlib.h>
#include <string.h>

/* How pressing a water is: its first item, for items stand in order. */
static int pressure(const lw_water_advice *w)
{
  return w->item_count ? lw_item_pressure(&w->items[0]) : 99;
}

static int by_pressure(const void *a, const void *b)
{
  const lw_water_advice *x = a;
  const lw_water_advice *y = b;
  int px = pressure(x);
  int py = pressure(y);
  return px != py ? (px > py) - (px < py) : strcmp(x->water, y->water);
}

static lw_status find_id(lw_id *out, const lw_desk *desk, const char *name, lw_error *err)
{
  *out = 0;
  if (!name) {
    return LW_OK;
  }
  lw_water water;
  lw_status s = lw_store_find_water(desk->store, name, desk->arena, &water, err);
  *out = s == LW_OK ? water.id : 0;
  return s;
}

lw_status lw_work_now(lw_now *out, const lw_desk *desk, lw_day on, const char *water, lw_error *err)
{
  lw_id only = 0;
  lw_book book;
  *out = (lw_now){.as_of = on};
  lw_status s = find_id(&only, desk, water, err);
  s = s == LW_OK ? lw_store_revision(desk->store, &out->revision, err) : s;
  s = s == LW_OK ? lw_book_read(&book, desk, only, err) : s;
  if (s != LW_OK) {
    return s;
  }
  out->waters = LW_NEW(desk->arena, lw_water_advice, book.water_count);
  if (!out->waters) {
    return lw_fail(err, LW_MEMORY, "no memory for the advice of %zu waters", book.water_count);
  }
  for (size_t i = 0; s == LW_OK && i < book.water_count; i++) {
    lw_case facts;
    s = lw_book_case(&facts, &book, i, on, desk, err);
    s = s == LW_OK ? lw_advise(&out->waters[i], &facts, desk->arena, err) : s;
  }
  out->count = book.water_count;
  if (s == LW_OK) {
    qsort(out->waters, out->count, sizeof *out->waters, by_pressure);
  }
  return s;
}

lw_status lw_work_season(lw_season_sheet *out, const lw_desk *desk, lw_day on, const char *water,
                         lw_error *err)
{
  lw_id only = 0;
  lw_book book;
  lw_case facts;
  lw_status s = find_id(&only, desk, water, err);
  s = s == LW_OK ? lw_book_read(&book, desk, only, err) : s;
  s = s == LW_OK ? lw_book_case(&facts, &book, 0, on, desk, err) : s;
  if (s != LW_OK) {
    return s;
  }
  lw_view view = {.facts = &facts, .arena = desk->arena};
  lw_latest_find(&view.latest, &facts);
  *out = (lw_season_sheet){.water = book.waters[0].name, .units = facts.units, .money = book.money};
  s = lw_season_reckon(&out->plan, &view);
  if (s == LW_NOT_FOUND) {
    return lw_fail(err, LW_INVALID,
                   "%s has no area: give its outline or area first, for example 'water set "
                   "\"%s\" --area \"12 acre\"'",
                   out->water, out->water);
  }
  return s == LW_OK ? s : lw_fail(err, s, "the season could not be reckoned");
}
