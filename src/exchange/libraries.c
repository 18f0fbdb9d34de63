/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/libraries.h"

#include "base/lazy.h"

#include <pthread.h>

#define SYMBOL_NAME(function) #function,

static const char *const proj_symbols[] = {LW_PROJ_FUNCTIONS(SYMBOL_NAME)};
static const char *const geos_symbols[] = {LW_GEOS_FUNCTIONS(SYMBOL_NAME)};

_Static_assert(sizeof(lw_proj) == sizeof proj_symbols, "one pointer a symbol");
_Static_assert(sizeof(lw_geos) == sizeof geos_symbols, "one pointer a symbol");

/* Opened once a process; a failure is kept too and told to every later caller. */
static struct {
  pthread_once_t once;
  lw_status status;
  lw_error error;
  lw_proj table;
} proj = {.once = PTHREAD_ONCE_INIT};

static struct {
  pthread_once_t once;
  lw_status status;
  lw_error error;
  lw_geos table;
} geos = {.once = PTHREAD_ONCE_INIT};

static void open_proj(void)
{
  proj.status = lw_lazy_open("libproj.so.25", "libproj25", proj_symbols,
                             sizeof proj_symbols / sizeof *proj_symbols, &proj.table, &proj.error);
}

static void open_geos(void)
{
  geos.status = lw_lazy_open("libgeos_c.so.1", "libgeos-c1v5", geos_symbols,
                             sizeof geos_symbols / sizeof *geos_symbols, &geos.table, &geos.error);
}

static lw_status hand_out(lw_status status, const lw_error *kept, lw_error *err)
{
  if (status != LW_OK && err) {
    *err = *kept;
  }
  return status;
}

lw_status lw_proj_open(const lw_proj **out, lw_error *err)
{
  (void)pthread_once(&proj.once, open_proj);
  *out = &proj.table;
  return hand_out(proj.status, &proj.error, err);
}

lw_status lw_geos_open(const lw_geos **out, lw_error *err)
{
  (void)pthread_once(&geos.once, open_geos);
  *out = &geos.table;
  return hand_out(geos.status, &geos.error, err);
}
