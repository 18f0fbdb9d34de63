/* SPDX-License-Identifier: Apache-2.0 */
/* Putting a finished file where it belongs. A new store, a copy and an import are built under a
 * temporary name in the same folder, synced, and only then given their name: whoever looks finds
 * nothing or the whole file, whatever happens to the machine meanwhile. */
#include "store/internal.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const char *const log_endings[] = {"-wal", "-shm", "-journal"};
enum { LOG_ENDINGS = sizeof log_endings / sizeof log_endings[0], ENDING_ROOM = 64 };

static char *with_ending(const char *path, const char *ending)
{
  size_t size = strlen(path) + ENDING_ROOM;
  char *out = malloc(size);
  if (out) {
    (void)snprintf(out, size, "%s%s", path, ending);
  }
  return out;
}

static lw_status refuse_if_there(const char *path, bool is_log, lw_error *err)
{
  struct stat info;
  if (lstat(path, &info) == 0) {
    return is_log ? lw_fail(err, LW_CONFLICT,
                            "'%.300s' lies there, left over from a store of that "
                            "name, and would mix with the new one; move it away or use another name",
                            path)
                  : lw_fail(err, LW_CONFLICT, "'%.300s' exists already; use another name", path);
  }
  if (errno != ENOENT) {
    return lw_fail(err, LW_IO, "could not look for '%.300s': %s; check the folder", path, strerror(errno));
  }
  return LW_OK;
}

/* A log of an earlier store of the same name would be taken by SQLite for the new one's. */
lw_status lw_place_free(const char *path, lw_error *err)
{
  if (*path == '\0') {
    return lw_fail(err, LW_INVALID, "the file's name is empty; give a path such as farm.lakeward");
  }
  lw_status status = refuse_if_there(path, false, err);
  for (int i = 0; i < LOG_ENDINGS && status == LW_OK; i++) {
    char *log = with_ending(path, log_endings[i]);
    status = log ? refuse_if_there(log, true, err) : lw_fail(err, LW_MEMORY, "no memory for a path");
    free(log);
  }
  return status;
}

lw_status lw_place_temporary(const char *path, char **out, lw_error *err)
{
  static atomic_uint serial;
  char ending[ENDING_ROOM];
  (void)snprintf(ending, sizeof ending, ".%ld-%u.part", (long)getpid(), atomic_fetch_add(&serial, 1u));
  *out = with_ending(path, ending);
  if (!*out) {
    return lw_fail(err, LW_MEMORY, "no memory for a path");
  }
  lw_place_discard(*out); /* of an earlier process that was killed and had the same number */
  return LW_OK;
}

void lw_place_discard(const char *temporary)
{
  (void)unlink(temporary);
  for (int i = 0; i < LOG_ENDINGS; i++) {
    char *log = with_ending(temporary, log_endings[i]);
    if (log) {
      (void)unlink(log);
    }
    free(log);
  }
}

static lw_status fail_path(const char *path, const char *doing, lw_error *err)
{
  return lw_fail(err, LW_IO, "could not %s '%.300s': %s; check the disk and the folder", doing, path,
                 strerror(errno));
}

static lw_status sync_file(const char *path, lw_error *err)
{
  int fd = open(path, O_RDONLY | O_CLOEXEC);
  if (fd < 0) {
    return fail_path(path, "open", err);
  }
  lw_status status = fsync(fd) == 0 ? LW_OK : fail_path(path, "sync", err);
  (void)close(fd);
  return status;
}

void lw_place_sync_folder_of(const char *path)
{
  char *folder = with_ending(path, "");
  if (!folder) {
    return;
  }
  char *slash = strrchr(folder, '/');
  if (!slash) {
    (void)strcpy(folder, ".");
  } else {
    slash[slash == folder ? 1 : 0] = '\0';
  }
  int fd = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (fd >= 0) {
    (void)fsync(fd); /* not every file system can; the rename itself has happened */
    (void)close(fd);
  }
  free(folder);
}

/* link() refuses an existing name in one step. Where the file system has no links, rename() must do,
 * with the look beforehand as its guard. */
lw_status lw_place_publish(const char *temporary, const char *path, lw_error *err)
{
  lw_status status = sync_file(temporary, err);
  if (status == LW_OK) {
    status = lw_place_free(path, err);
  }
  if (status != LW_OK) {
    return status;
  }
  if (link(temporary, path) == 0) {
    (void)unlink(temporary);
  } else if (errno == EEXIST) {
    return lw_fail(err, LW_CONFLICT, "'%.300s' exists already; use another name", path);
  } else if (rename(temporary, path) != 0) {
    return fail_path(path, "write", err);
  }
  lw_place_sync_folder_of(path);
  return LW_OK;
}

/* ---- folders ---- */

static bool is_entry(const struct dirent *entry)
{
  return strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0;
}

bool lw_place_is_empty_folder(const char *path)
{
  DIR *entries = opendir(path);
  bool empty = entries != NULL;
  for (struct dirent *entry; empty && (entry = readdir(entries)) != NULL;) {
    empty = !is_entry(entry);
  }
  if (entries) {
    (void)closedir(entries);
  }
  return empty;
}

/* What is no file is a folder of files: an export has no deeper ones. */
static void clear_folder(int parent, const char *name, bool has_folders)
{
  int fd = openat(parent, name, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
  DIR *entries = fd < 0 ? NULL : fdopendir(fd);
  for (struct dirent *entry; entries && (entry = readdir(entries)) != NULL;) {
    if (is_entry(entry) && unlinkat(fd, entry->d_name, 0) != 0 && has_folders) {
      clear_folder(fd, entry->d_name, false);
    }
  }
  if (entries) {
    (void)closedir(entries);
  } else if (fd >= 0) {
    (void)close(fd);
  }
  (void)unlinkat(parent, name, AT_REMOVEDIR);
}

void lw_place_clear_folder(const char *temporary)
{
  clear_folder(AT_FDCWD, temporary, true);
}
