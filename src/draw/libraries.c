/* SPDX-License-Identifier: Apache-2.0 */
#include "draw/libraries.h"

#include "base/lazy.h"

#include <pthread.h>

#define SYMBOL_NAME(function) #function,

static const char *const cairo_symbols[] = {LW_CAIRO_FUNCTIONS(SYMBOL_NAME)};
static const char *const pango_symbols[] = {LW_PANGO_FUNCTIONS(SYMBOL_NAME)};
static const char *const pangocairo_symbols[] = {LW_PANGOCAIRO_FUNCTIONS(SYMBOL_NAME)};
static const char *const glib_symbols[] = {LW_GLIB_FUNCTIONS(SYMBOL_NAME)};

_Static_assert(sizeof(lw_cairo) == sizeof cairo_symbols, "one pointer a symbol");
_Static_assert(sizeof(lw_pango) == sizeof pango_symbols, "one pointer a symbol");
_Static_assert(sizeof(lw_pangocairo) == sizeof pangocairo_symbols, "one pointer a symbol");
_Static_assert(sizeof(lw_glib) == sizeof glib_symbols, "one pointer a symbol");

/* Opened once a process; a failure is kept too and told to every later caller. */
static struct {
  pthread_once_t once;
  lw_status status;
  lw_error error;
  lw_draw_libraries tables;
} libraries = {.once = PTHREAD_ONCE_INIT};

#define COUNT(array) (sizeof(array) / sizeof *(array))

static void open_all(void)
{
  lw_draw_libraries *t = &libraries.tables;
  lw_error *err = &libraries.error;
  lw_status status =
      lw_lazy_open("libcairo.so.2", "libcairo2", cairo_symbols, COUNT(cairo_symbols), &t->cairo, err);
  if (status == LW_OK) {
    status = lw_lazy_open("libpango-1.0.so.0", "libpango-1.0-0", pango_symbols, COUNT(pango_symbols),
                          &t->pango, err);
  }
  if (status == LW_OK) {
    status = lw_lazy_open("libpangocairo-1.0.so.0", "libpangocairo-1.0-0", pangocairo_symbols,
                          COUNT(pangocairo_symbols), &t->pangocairo, err);
  }
  if (status == LW_OK) {
    status =
        lw_lazy_open("libgobject-2.0.so.0", "libglib2.0-0", glib_symbols, COUNT(glib_symbols), &t->glib, err);
  }
  libraries.status = status;
}

lw_status lw_draw_open(const lw_draw_libraries **out, lw_error *err)
{
  (void)pthread_once(&libraries.once, open_all);
  *out = &libraries.tables;
  if (libraries.status != LW_OK && err) {
    *err = libraries.error;
  }
  return libraries.status;
}
