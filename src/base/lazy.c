/* SPDX-License-Identifier: Apache-2.0 */
#include "base/lazy.h"

#include <dlfcn.h>
#include <string.h>

lw_status lw_lazy_open(const char *library, const char *package, const char *const *symbols, size_t count,
                       void *table, lw_error *err)
{
  void *handle = dlopen(library, RTLD_NOW | RTLD_LOCAL);
  if (!handle) {
    return lw_fail(err, LW_NOT_FOUND, "this needs the library %s; install the package %s and try again",
                   library, package);
  }
  for (size_t i = 0; i < count; i++) {
    void *address = dlsym(handle, symbols[i]);
    if (!address) {
      return lw_fail(err, LW_NOT_FOUND, "the library %s has no function %s; install a current %s", library,
                     symbols[i], package);
    }
    /* object to function pointer: POSIX promises the same representation */
    memcpy((char *)table + i * sizeof address, &address, sizeof address);
  }
  return LW_OK;
}
