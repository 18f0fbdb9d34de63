/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/files.h"

#include <errno.h>
#include <fcntl.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static lw_status fail_errno(const char *path, int code, const char *done, lw_error *err)
{
  if (code == ENOENT || code == ENOTDIR) {
    return lw_fail(err, LW_NOT_FOUND, "%s could not be %s: there is no such file or folder; check the path",
                   path, done);
  }
  return lw_fail(err, LW_IO, "%s could not be %s: %s", path, done, strerror(code));
}

/* --- reading --- */

/* Reads exactly `length` bytes and then the end of the file. */
static lw_status read_exactly(int fd, const char *path, char *data, size_t length, lw_error *err)
{
  size_t done = 0;
  for (;;) {
    char beyond = 0;
    size_t left = length - done;
    ssize_t n = read(fd, left ? data + done : &beyond, left ? left : 1);
    if (n < 0 && errno == EINTR) {
      continue;
    }
    if (n < 0) {
      return fail_errno(path, errno, "read", err);
    }
    if (n == 0 && left == 0) {
      return LW_OK;
    }
    if (n == 0 || left == 0) {
      return lw_fail(err, LW_IO, "%s changed while it was read; try again", path);
    }
    done += (size_t)n;
  }
}

static lw_status check_regular(int fd, const char *path, size_t max_bytes, size_t *out_length, lw_error *err)
{
  struct stat info;
  if (fstat(fd, &info) != 0) {
    return fail_errno(path, errno, "read", err);
  }
  if (!S_ISREG(info.st_mode)) {
    return lw_fail(err, LW_INVALID, "%s is %s, not a file; name a file", path,
                   S_ISDIR(info.st_mode) ? "a folder" : "a device or a pipe");
  }
  uintmax_t size = info.st_size > 0 ? (uintmax_t)info.st_size : 0;
  if (size > max_bytes || size > SIZE_MAX - 1) {
    return lw_fail(err, LW_LIMIT, "%s is %ju bytes long; at most %zu bytes are read here", path, size,
                   max_bytes);
  }
  *out_length = (size_t)size;
  return LW_OK;
}

lw_status lw_file_read(const char *path, size_t max_bytes, lw_arena *arena, char **out, size_t *out_length,
                       lw_error *err)
{
  /* O_NONBLOCK: opening a pipe that nobody writes must not hang before it can be refused */
  int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
  if (fd < 0) {
    return fail_errno(path, errno, "opened", err);
  }
  size_t length = 0;
  lw_status status = check_regular(fd, path, max_bytes, &length, err);
  char *data = NULL;
  if (status == LW_OK) {
    data = lw_arena_alloc(arena, length + 1, 1);
    status = data ? read_exactly(fd, path, data, length, err)
                  : lw_fail(err, LW_MEMORY, "there is no memory for the %zu bytes of %s", length, path);
  }
  (void)close(fd);
  if (status == LW_OK) {
    *out = data;
    *out_length = length;
  }
  return status;
}

/* --- writing --- */

static lw_status write_fully(int fd, const char *path, const char *data, size_t length, lw_error *err)
{
  for (size_t done = 0; done < length;) {
    ssize_t n = write(fd, data + done, length - done);
    if (n < 0 && errno != EINTR) {
      return fail_errno(path, errno, "written", err);
    }
    done += n > 0 ? (size_t)n : 0;
  }
  return LW_OK;
}

/* The folder of `path`, to be freed; NULL on no memory. */
static char *folder_of(const char *path)
{
  const char *slash = strrchr(path, '/');
  if (!slash) {
    return strdup(".");
  }
  return slash == path ? strdup("/") : strndup(path, (size_t)(slash - path));
}

/* A rename is durable only once its folder is. Some file systems cannot sync a folder: no fault. */
static void sync_folder(const char *path)
{
  char *folder = folder_of(path);
  int fd = folder ? open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC) : -1;
  if (fd >= 0) {
    (void)fsync(fd);
    (void)close(fd);
  }
  free(folder);
}

/* Opens a new file beside `path`; its name goes to *out_name, to be freed. The mode is the kernel's
 * umask on a new file, or that of the file it will replace. */
static int open_beside(const char *path, const struct stat *old, char **out_name)
{
  static atomic_uint serial;
  size_t size = strlen(path) + 48;
  char *name = malloc(size);
  int fd = -1;
  for (int attempt = 0; name && fd < 0 && attempt < 100; attempt++) {
    (void)snprintf(name, size, "%s.%ld-%u.part", path, (long)getpid(), atomic_fetch_add(&serial, 1));
    fd = open(name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0 && errno != EEXIST) {
      break;
    }
  }
  if (fd >= 0 && old) {
    (void)fchmod(fd, old->st_mode & 07777);
  }
  *out_name = name;
  return fd;
}

static lw_status fail_exists(const char *path, lw_error *err)
{
  return lw_fail(err, LW_CONFLICT, "%s exists already; name another file, or say that it may be replaced",
                 path);
}

/* Gives the finished file its name. link() refuses an existing name in one step; where the file
 * system has no hard links the check made before must do. */
static lw_status put_in_place(const char *part, const char *path, bool may_replace, lw_error *err)
{
  if (!may_replace) {
    if (link(part, path) == 0) {
      (void)unlink(part);
      sync_folder(path);
      return LW_OK;
    }
    if (errno == EEXIST) {
      return fail_exists(path, err);
    }
  }
  if (rename(part, path) != 0) {
    return fail_errno(path, errno, "written", err);
  }
  sync_folder(path);
  return LW_OK;
}

static lw_status write_beside(const char *path, const struct stat *old, const char *data, size_t length,
                              bool may_replace, lw_error *err)
{
  char *part = NULL;
  errno = ENOMEM; /* stands when malloc, not open, fails */
  int fd = open_beside(path, old, &part);
  if (fd < 0) {
    lw_status failed = fail_errno(path, errno, "written", err);
    free(part);
    return failed;
  }
  lw_status status = write_fully(fd, path, data, length, err);
  if (status == LW_OK && fsync(fd) != 0) {
    status = fail_errno(path, errno, "written", err);
  }
  if (close(fd) != 0 && status == LW_OK) {
    status = fail_errno(path, errno, "written", err);
  }
  if (status == LW_OK) {
    status = put_in_place(part, path, may_replace, err);
  }
  if (status != LW_OK) {
    (void)unlink(part);
  }
  free(part);
  return status;
}

lw_status lw_file_write(const char *path, const char *data, size_t length, int may_replace, lw_error *err)
{
  struct stat old;
  bool exists = stat(path, &old) == 0;
  if (exists && !S_ISREG(old.st_mode)) {
    return lw_fail(err, LW_INVALID, "%s is %s, not a file; name a file", path,
                   S_ISDIR(old.st_mode) ? "a folder" : "a device or a pipe");
  }
  if (exists && !may_replace) {
    return fail_exists(path, err);
  }
  /* through a link, so that the file it points to is replaced and not the link itself */
  char *target = exists ? realpath(path, NULL) : NULL;
  lw_status status =
      write_beside(target ? target : path, exists ? &old : NULL, data, length, may_replace != 0, err);
  free(target);
  return status;
}
