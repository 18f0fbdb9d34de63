/* SPDX-License-Identifier: Apache-2.0 */
/* The demonstration in a folder of its own, opened on its day, for the tests of it. */
#ifndef LW_TESTS_DEMO_FIXTURE_H
#define LW_TESTS_DEMO_FIXTURE_H

#include "store_fixture.h"

#include "demo/places.h"
#include "demo/sedgewater.h"
#include "work/entries.h"
#include "work/now.h"

typedef struct club {
  fixture f; /* its store is the demonstration */
  lw_desk desk;
  lw_now now;
} club;

static inline void look(club *c)
{
  assert_ok(&c->f, lw_date_parse(&c->desk.today, "today", LW_DEMO_TODAY, &c->f.err));
  c->desk.store = c->f.store;
  c->desk.arena = c->f.arena;
  c->desk.now = lw_demo_instant(c->desk.today, 600);
  c->desk.who = "first hand";
  c->desk.why = "";
  assert_ok(&c->f, lw_work_now(&c->now, &c->desk, c->desk.today, NULL, &c->f.err));
}

static inline void write_and_open(club *c, uint64_t seed, const char *name)
{
  lw_store_close(c->f.store);
  c->f.store = NULL;
  (void)snprintf(c->f.path, sizeof c->f.path, "%.100s/%.50s", c->f.folder, name);
  assert_ok(&c->f, lw_demo_write(c->f.path, seed, &c->f.err));
  assert_ok(&c->f, lw_store_open(&c->f.store, c->f.path, &c->f.err));
}

static inline int begin(void **state)
{
  club *c = calloc(1, sizeof *c);
  (void)snprintf(c->f.folder, sizeof c->f.folder, "/tmp/lakeward-demo-XXXXXX");
  c->f.arena = lw_arena_new(0);
  *state = c;
  if (!mkdtemp(c->f.folder)) {
    return -1;
  }
  write_and_open(c, LW_DEMO_SEED, "club.lake");
  look(c);
  return 0;
}

static inline int end(void **state)
{
  club *c = *state;
  lw_store_close(c->f.store);
  lw_arena_free(c->f.arena);
  remove_tree(AT_FDCWD, c->f.folder);
  free(c);
  return 0;
}

#endif
