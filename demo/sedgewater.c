/* SPDX-License-Identifier: Apache-2.0 */
#include "demo/sedgewater.h"

#include "demo/places.h"
#include "demo/soundings.h"
#include "demo/story.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { ENDING_ROOM = 32 };

static lw_status fill_diary(lw_demo_diary *diary, uint64_t seed)
{
  lw_demo_weather *weather = LW_NEW(diary->arena, lw_demo_weather, 1);
  if (!weather) {
    return lw_fail(diary->err, LW_MEMORY, "no memory for the demonstration");
  }
  lw_demo_used used = {0};
  lw_demo_make_weather(weather, seed);
  lw_demo_add_rain(diary, weather);
  for (int place = 0; place < LW_DEMO_WATERS; place++) {
    lw_demo_add_rounds(diary, weather, (lw_demo_place)place, &used);
  }
  lw_demo_add_story(diary);
  lw_demo_add_lots(diary, &used);
  return diary->status;
}

static lw_status fill(lw_store *store, uint64_t seed, lw_arena *arena, lw_error *err)
{
  lw_demo_ids ids = {0};
  lw_demo_diary diary = {.arena = arena, .err = err};
  lw_status s = fill_diary(&diary, seed);
  s = s == LW_OK ? lw_demo_write_places(store, &ids, arena, err) : s;
  s = s == LW_OK ? lw_demo_write_materials(store, &ids, err) : s;
  s = s == LW_OK ? lw_demo_write_diary(&diary, store, &ids, err) : s;
  s = s == LW_OK ? lw_demo_write_surveys(store, &ids, seed, arena, err) : s;
  return s == LW_OK ? lw_demo_write_last_days(store, &ids, arena, err) : s;
}

/* The finished store is copied to its place by the store's own backup, which is complete or absent. */
static lw_status build(const char *temporary, const char *path, uint64_t seed, lw_error *err)
{
  lw_store *store = NULL;
  lw_arena *arena = lw_arena_new(0);
  lw_status s =
      arena ? lw_store_create(temporary, err) : lw_fail(err, LW_MEMORY, "no memory for the demonstration");
  s = s == LW_OK ? lw_store_open(&store, temporary, err) : s;
  s = s == LW_OK ? fill(store, seed, arena, err) : s;
  s = s == LW_OK ? lw_store_backup(store, path, err) : s;
  lw_store_close(store);
  lw_arena_free(arena);
  return s;
}

static void remove_temporary(char *temporary, size_t length)
{
  static const char *const endings[] = {"", "-wal", "-shm", "-journal"};
  for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
    (void)strcpy(temporary + length, endings[i]);
    (void)unlink(temporary);
  }
  temporary[length] = '\0';
}

lw_status lw_demo_write(const char *path, uint64_t seed, lw_error *err)
{
  struct stat info;
  if (lstat(path, &info) == 0) { /* the backup would refuse it too, after all the work */
    return lw_fail(err, LW_CONFLICT, "'%.300s' exists already; use another name", path);
  }
  size_t size = strlen(path) + 2 * (size_t)ENDING_ROOM;
  char *temporary = malloc(size);
  if (!temporary) {
    return lw_fail(err, LW_MEMORY, "no memory for the demonstration");
  }
  int length = snprintf(temporary, size - ENDING_ROOM, "%s.demo-%ld", path, (long)getpid());
  remove_temporary(temporary, (size_t)length);
  lw_status s = build(temporary, path, seed, err);
  remove_temporary(temporary, (size_t)length);
  free(temporary);
  return s;
}
