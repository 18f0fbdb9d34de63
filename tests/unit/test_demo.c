/* SPDX-License-Identifier: Apache-2.0 */
/* The demonstration tells its four stories, whatever the seed, and is complete or absent. */
#include "demo_fixture.h"

static const double acre_m2 = 4046.8564224;

/* ---- the stories ---- */

static const lw_item *item_of(const club *c, lw_demo_place place, const char *subject)
{
  for (size_t i = 0; i < c->now.count; i++) {
    const lw_water_advice *w = &c->now.waters[i];
    for (size_t k = 0; strcmp(w->water, lw_demo_names[place]) == 0 && k < w->item_count; k++) {
      if (strcmp(w->items[k].subject, subject) == 0) {
        return &w->items[k];
      }
    }
  }
  fail_msg("no '%s' for %s", subject, lw_demo_names[place]);
  return NULL;
}

static void assert_says(const club *c, lw_demo_place place, const char *subject, lw_verdict verdict,
                        const char *rule)
{
  const lw_item *item = item_of(c, place, subject);
  if (item->verdict != verdict) {
    fail_msg("%s, %s: %s (%s)", lw_demo_names[place], subject, lw_verdict_word(item->verdict),
             item->headline);
  }
  assert_true(item->reason_count > 0);
  assert_string_equal(item->reasons[0].rule, rule);
  assert_true(item->reasons[0].decides);
}

static void assert_four_stories(const club *c)
{
  assert_int_equal(c->now.count, LW_DEMO_WATERS);
  assert_says(c, LW_DEMO_UPPER_SEDGE, "feeding the bloom", LW_DO, "feed-clarity");
  assert_says(c, LW_DEMO_UPPER_SEDGE, "missing measurements", LW_HOLD, "measure-due");
  assert_says(c, LW_DEMO_HERON_POOL, "lime", LW_DO, "lime-alkalinity");
  assert_says(c, LW_DEMO_HERON_POOL, "feeding the bloom", LW_HOLD, "feed-alkalinity");
  assert_says(c, LW_DEMO_LONG_RUN, "feeding the bloom", LW_ASK, "feed-clarity");
  assert_says(c, LW_DEMO_BRICKYARD, "feeding the bloom", LW_HOLD, "feed-mud");
  assert_says(c, LW_DEMO_BRICKYARD, "too-green water", LW_HOLD, "green-disk");
  assert_holds(item_of(c, LW_DEMO_BRICKYARD, "too-green water")->headline, "mud, not a bloom");
  assert_string_equal(item_of(c, LW_DEMO_LONG_RUN, "feeding the bloom")->measure, "secchi");
}

static const lw_choice *chosen(const lw_item *item)
{
  for (size_t i = 0; i < item->choice_count; i++) {
    if (item->choices[i].chosen) {
      return &item->choices[i];
    }
  }
  fail_msg("nothing chosen: %s", item->headline);
  return NULL;
}

/* 38 acres at 6 lb of 52 % an acre is 247 lb of a 48 % powder: five sacks, and eight are there. */
static void tells_its_stories(void **state)
{
  club *c = *state;
  assert_four_stories(c);
  const lw_choice *powder = chosen(item_of(c, LW_DEMO_UPPER_SEDGE, "feeding the bloom"));
  assert_string_equal(powder->grade, "12-48-8");
  assert_close(powder->packages.value, 5, 0);
  assert_close(powder->left.value, 8, 1e-9);
  assert_close(powder->to_buy.value, 0, 0);
  const lw_item *lime = item_of(c, LW_DEMO_HERON_POOL, "lime");
  assert_string_equal(lime->amount.method, "lime-requirement");
  /* Boyd's table at mud pH 5.2 and buffer 7.5: 1954 kg/ha, over 95 % and 85 %, on 6 acres */
  assert_close(lime->amount.value, 1954 / 0.95 / 0.85 * 6 * acre_m2 / 1e4, 5);
}

static bool has_caution(const lw_item *item, const char *piece)
{
  bool found = false;
  for (size_t i = 0; i < item->caution_count; i++) {
    found = found || strstr(item->cautions[i], piece) != NULL;
  }
  return found;
}

/* What the page's own test does: the disk at Long Run turns 'ask' into 'do'. */
static void a_disk_reading_settles_long_run(void **state)
{
  club *c = *state;
  static const lw_field fields[] = {{"value", "40 in"}};
  const lw_form form = {fields, 1};
  lw_water water;
  lw_entry entry;
  assert_true(has_caution(item_of(c, LW_DEMO_LONG_RUN, "feeding the bloom"), "neighbours"));
  assert_ok(&c->f, lw_store_find_water(c->f.store, "Long Run", c->f.arena, &water, &c->f.err));
  assert_ok(&c->f, lw_add_reading(&entry, &c->desk, water.id, "secchi", &form, &c->f.err));
  look(c);
  assert_says(c, LW_DEMO_LONG_RUN, "feeding the bloom", LW_DO, "feed-clarity");
  assert_says(c, LW_DEMO_LONG_RUN, "too-green water", LW_HOLD, "green-disk");
  const lw_item *feed = item_of(c, LW_DEMO_LONG_RUN, "feeding the bloom");
  assert_true(has_caution(feed, "neighbours"));
  assert_close(chosen(feed)->packages.value, 12, 0); /* 624 lb, to the nearest sack */
  assert_close(chosen(feed)->to_buy.value, 4, 0);
  assert_ok(&c->f, lw_undo(&entry, &c->desk, entry.change, &c->f.err));
  look(c);
  assert_four_stories(c);
}

/* Three weeks by the depth told; the soundings say that there is less water in it, and so less time. */
static void a_wet_month_holds_long_run(void **state)
{
  club *c = *state;
  lw_water water;
  assert_ok(&c->f, lw_store_find_water(c->f.store, "Long Run", c->f.arena, &water, &c->f.err));
  double days = water.outline_area_m2.value * water.mean_depth_m.value / water.outflow_m3_s.value / 86400;
  assert_close(days, 21, 1);
  const lw_item *feed = item_of(c, LW_DEMO_LONG_RUN, "feeding the bloom");
  bool found = false;
  for (size_t i = 0; i < feed->reason_count; i++) {
    found = found || (strcmp(feed->reasons[i].rule, "feed-retention") == 0 &&
                      strstr(feed->reasons[i].text, "23 days (volume from the depth map)") != NULL);
  }
  assert_true(found);
}

/* Any seed tells the four stories and leaves the same shelf. */
static void other_seeds_tell_the_same(void **state)
{
  club *c = *state;
  static const uint64_t seeds[] = {0, UINT64_MAX};
  for (size_t i = 0; i < 2; i++) {
    char name[20];
    (void)snprintf(name, sizeof name, "seed%zu.lake", i);
    write_and_open(c, seeds[i], name);
    look(c);
    tells_its_stories(state);
    assert_whole(&c->f, c->f.store);
  }
}

/* ---- refusals ---- */

static size_t files_in(const char *folder)
{
  DIR *entries = opendir(folder);
  size_t n = 0;
  while (entries && readdir(entries)) {
    n++;
  }
  if (entries) {
    (void)closedir(entries);
  }
  return n;
}

static void leaves_no_half_file(void **state)
{
  club *c = *state;
  DIR *entries = opendir(c->f.folder);
  assert_non_null(entries);
  for (struct dirent *entry; (entry = readdir(entries)) != NULL;) {
    assert_null(strstr(entry->d_name, ".demo-"));
  }
  (void)closedir(entries);
}

static void takes_no_place_that_is_taken(void **state)
{
  club *c = *state;
  size_t before = files_in(c->f.folder);
  assert_refused(&c->f, lw_demo_write(c->f.path, LW_DEMO_SEED, &c->f.err), LW_CONFLICT, "exists");
  look(c); /* untouched */
  assert_int_equal(files_in(c->f.folder), before);
}

static void leaves_nothing_where_it_cannot_write(void **state)
{
  club *c = *state;
  char path[200];
  size_t before = files_in(c->f.folder);
  (void)snprintf(path, sizeof path, "%.120s/nowhere/club.lake", c->f.folder);
  c->f.err = (lw_error){0};
  assert_int_not_equal(lw_demo_write(path, LW_DEMO_SEED, &c->f.err), LW_OK);
  assert_holds(c->f.err.message, "nowhere");
  assert_int_not_equal(access(path, F_OK), 0);
  assert_int_equal(files_in(c->f.folder), before);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(tells_its_stories),
      cmocka_unit_test(a_disk_reading_settles_long_run),
      cmocka_unit_test(a_wet_month_holds_long_run),
      cmocka_unit_test(leaves_no_half_file),
      cmocka_unit_test(takes_no_place_that_is_taken),
      cmocka_unit_test(leaves_nothing_where_it_cannot_write),
      cmocka_unit_test(other_seeds_tell_the_same),
  };
  return cmocka_run_group_tests(tests, begin, end);
}
