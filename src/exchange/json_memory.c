/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/json_memory.h"

#include <jansson.h>
#include <stdlib.h>

static _Thread_local bool ran_short;

static void *allocate(size_t size)
{
  void *block = malloc(size);
  ran_short = ran_short || !block;
  return block;
}

void lw_json_watch(void)
{
  json_set_alloc_funcs(allocate, free);
}

bool lw_json_ran_short(void)
{
  bool was = ran_short;
  ran_short = false;
  return was;
}
