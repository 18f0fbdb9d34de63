/* SPDX-License-Identifier: Apache-2.0 */
#include "web/mhd.h"

#include "base/lazy.h"

#include <pthread.h>

static lw_mhd_table table;
static lw_error fault;
static pthread_once_t once = PTHREAD_ONCE_INIT;

static void load(void)
{
#define NAME(function) #function,
  static const char *const names[] = {LW_MHD_FUNCTIONS(NAME)};
#undef NAME
  fault.status = lw_lazy_open("libmicrohttpd.so.12", "libmicrohttpd12", names, sizeof names / sizeof *names,
                              &table, &fault);
}

lw_status lw_mhd(const lw_mhd_table **out, lw_error *err)
{
  if (pthread_once(&once, load) != 0) {
    return lw_fail(err, LW_INTERNAL, "the HTTP library could not be prepared; try again");
  }
  if (fault.status != LW_OK) {
    return lw_fail(err, fault.status, "%s", fault.message);
  }
  *out = &table;
  return LW_OK;
}
