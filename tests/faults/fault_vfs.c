/* SPDX-License-Identifier: Apache-2.0 */
#include "fault_vfs.h"

#include <sqlite3.h>
#include <string.h>

typedef struct fault_file {
  sqlite3_file base;
  sqlite3_file *real; /* lies behind this struct */
} fault_file;

static sqlite3_vfs layer;
static sqlite3_vfs *below;
static long armed_at, operations, failed;
static int failure;

static int count_operation(void)
{
  operations++;
  if (armed_at && operations >= armed_at) {
    failed++;
    return failure;
  }
  return SQLITE_OK;
}

static sqlite3_file *real_of(sqlite3_file *file)
{
  return ((fault_file *)file)->real;
}

#define FORWARD(name, parameters, arguments)                                                                 \
  static int name parameters                                                                                 \
  {                                                                                                          \
    sqlite3_file *real = real_of(file);                                                                      \
    return real->pMethods->name arguments;                                                                   \
  }

#define FORWARD_COUNTED(name, parameters, arguments)                                                         \
  static int name parameters                                                                                 \
  {                                                                                                          \
    sqlite3_file *real = real_of(file);                                                                      \
    int code = count_operation();                                                                            \
    return code != SQLITE_OK ? code : real->pMethods->name arguments;                                        \
  }

FORWARD(xRead, (sqlite3_file * file, void *to, int n, sqlite3_int64 at), (real, to, n, at))
FORWARD_COUNTED(xWrite, (sqlite3_file * file, const void *from, int n, sqlite3_int64 at), (real, from, n, at))
FORWARD_COUNTED(xTruncate, (sqlite3_file * file, sqlite3_int64 size), (real, size))
FORWARD_COUNTED(xSync, (sqlite3_file * file, int flags), (real, flags))
FORWARD(xFileSize, (sqlite3_file * file, sqlite3_int64 *size), (real, size))
FORWARD(xLock, (sqlite3_file * file, int level), (real, level))
FORWARD(xUnlock, (sqlite3_file * file, int level), (real, level))
FORWARD(xCheckReservedLock, (sqlite3_file * file, int *out), (real, out))
FORWARD(xFileControl, (sqlite3_file * file, int op, void *argument), (real, op, argument))
FORWARD(xSectorSize, (sqlite3_file * file), (real))
FORWARD(xDeviceCharacteristics, (sqlite3_file * file), (real))
FORWARD(xShmMap, (sqlite3_file * file, int page, int size, int extend, void volatile **out),
        (real, page, size, extend, out))
FORWARD(xShmLock, (sqlite3_file * file, int offset, int n, int flags), (real, offset, n, flags))
FORWARD(xShmUnmap, (sqlite3_file * file, int remove), (real, remove))

static void xShmBarrier(sqlite3_file *file)
{
  real_of(file)->pMethods->xShmBarrier(real_of(file));
}

static int xClose(sqlite3_file *file)
{
  sqlite3_file *real = real_of(file);
  return real->pMethods ? real->pMethods->xClose(real) : SQLITE_OK;
}

/* Version 2: no memory-mapped reading, which would pass this layer by. */
static const sqlite3_io_methods methods = {.iVersion = 2,
                                           .xClose = xClose,
                                           .xRead = xRead,
                                           .xWrite = xWrite,
                                           .xTruncate = xTruncate,
                                           .xSync = xSync,
                                           .xFileSize = xFileSize,
                                           .xLock = xLock,
                                           .xUnlock = xUnlock,
                                           .xCheckReservedLock = xCheckReservedLock,
                                           .xFileControl = xFileControl,
                                           .xSectorSize = xSectorSize,
                                           .xDeviceCharacteristics = xDeviceCharacteristics,
                                           .xShmMap = xShmMap,
                                           .xShmLock = xShmLock,
                                           .xShmBarrier = xShmBarrier,
                                           .xShmUnmap = xShmUnmap};

static int open_file(sqlite3_vfs *vfs, const char *name, sqlite3_file *file, int flags, int *out)
{
  (void)vfs;
  fault_file *wrapped = (fault_file *)file;
  memset(wrapped, 0, sizeof *wrapped);
  wrapped->real = (sqlite3_file *)(wrapped + 1);
  int code = count_operation() == SQLITE_OK ? SQLITE_OK : SQLITE_CANTOPEN;
  if (code == SQLITE_OK) {
    code = below->xOpen(below, name, wrapped->real, flags, out);
  }
  wrapped->base.pMethods = code == SQLITE_OK ? &methods : NULL;
  return code;
}

static int delete_file(sqlite3_vfs *vfs, const char *name, int sync_folder)
{
  (void)vfs;
  int code = count_operation() == SQLITE_OK ? SQLITE_OK : SQLITE_IOERR_DELETE;
  return code != SQLITE_OK ? code : below->xDelete(below, name, sync_folder);
}

int fault_vfs_install(void)
{
  below = sqlite3_vfs_find(NULL);
  if (!below) {
    return 1;
  }
  layer = *below;
  layer.zName = "lakeward-faults";
  layer.szOsFile = (int)sizeof(fault_file) + below->szOsFile;
  layer.pNext = NULL;
  layer.xOpen = open_file;
  layer.xDelete = delete_file;
  return sqlite3_vfs_register(&layer, 1) != SQLITE_OK;
}

void fault_vfs_arm(long n, int code)
{
  armed_at = n;
  failure = code;
  operations = 0;
  failed = 0;
}

long fault_vfs_operations(void)
{
  return operations;
}

long fault_vfs_failed(void)
{
  return failed;
}
