/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/geo_program.h"

#include "base/text.h"
#include "exchange/child.h"
#include "exchange/plain.h"

#include <errno.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

enum { USUAL_TIMEOUT_MS = 30000, REFUSED = 2, PATH_BYTES = 4096 };

/* --- finding it --- */

static bool can_run(const char *path)
{
  struct stat info;
  return stat(path, &info) == 0 && S_ISREG(info.st_mode) && access(path, X_OK) == 0;
}

/* Beside this program. */
static bool find_beside(char out[PATH_BYTES])
{
  char self[PATH_BYTES];
  ssize_t n = readlink("/proc/self/exe", self, sizeof self - 1);
  if (n <= 0) {
    return false;
  }
  self[n] = '\0';
  char *slash = strrchr(self, '/');
  if (!slash) {
    return false;
  }
  *slash = '\0';
  int written = snprintf(out, PATH_BYTES, "%s/lakeward-geo", self);
  return written > 0 && written < PATH_BYTES && can_run(out);
}

/* Only absolute folders of PATH: what lies in the present folder is not ours to run. */
static bool find_on_path(char out[PATH_BYTES])
{
  const char *at = getenv("PATH");
  while (at && *at) {
    size_t n = strcspn(at, ":");
    int written = *at == '/' ? snprintf(out, PATH_BYTES, "%.*s/lakeward-geo", (int)n, at) : -1;
    if (written > 0 && written < PATH_BYTES && can_run(out)) {
      return true;
    }
    at += n + (at[n] == ':' ? 1 : 0);
  }
  return false;
}

static lw_status find_program(const char *given, char out[PATH_BYTES], lw_error *err)
{
  if (given) {
    if (snprintf(out, PATH_BYTES, "%s", given) < PATH_BYTES && can_run(out)) {
      return LW_OK;
    }
    return lw_fail(err, LW_NOT_FOUND, "there is no program at %s; give the path of lakeward-geo", given);
  }
  if (find_beside(out) || find_on_path(out)) {
    return LW_OK;
  }
  return lw_fail(err, LW_NOT_FOUND,
                 "KML, GPX, Shapefile and GeoPackage files need the program lakeward-geo, which is not "
                 "beside this program nor on PATH; build it with GDAL (package libgdal-dev), or use GeoJSON");
}

/* --- what its end means --- */

static const char *sentence_of(const char *file, char *text)
{
  lw_make_plain(text);
  const char *own = "lakeward-geo: ";
  const char *sentence = lw_starts_with(text, own) ? text + strlen(own) : text;
  size_t n = strlen(file);
  if (strncmp(sentence, file, n) == 0 && lw_starts_with(sentence + n, ": ")) {
    sentence += n + 2;
  }
  return *sentence ? sentence : "it could not be read";
}

static lw_status judge(const lw_geo_run *run, lw_child *child, lw_error *err)
{
  if (child->end == LW_CHILD_TIMEOUT) {
    return lw_fail(err, LW_LIMIT,
                   "%s took more than %d s and was given up; simplify it, or save it as GeoJSON", run->file,
                   (child->timeout_ms + 999) / 1000);
  }
  if (child->end == LW_CHILD_TOO_MUCH) {
    return lw_fail(err, LW_LIMIT, "%s gives more than %zu MiB; simplify or split it", run->file,
                   (run->most_output ? run->most_output : (size_t)LW_CHILD_OUTPUT) / ((size_t)1024 * 1024));
  }
  int how = child->wait_status;
  if (WIFSIGNALED(how)) {
    bool slow = WTERMSIG(how) == SIGXCPU || WTERMSIG(how) == SIGKILL;
    return lw_fail(err, slow ? LW_LIMIT : LW_INVALID,
                   "%s: the reader %s (signal %d); the file is probably damaged, save it anew or as GeoJSON",
                   run->file, slow ? "used up its time or memory" : "broke off", WTERMSIG(how));
  }
  if (WEXITSTATUS(how) == REFUSED) {
    return lw_fail(err, LW_INVALID, "%s: %s", run->file, sentence_of(run->file, child->complaint));
  }
  if (WEXITSTATUS(how) != 0) {
    return lw_fail(err, LW_IO, "%s: lakeward-geo failed (exit %d): %s", run->file, WEXITSTATUS(how),
                   sentence_of(run->file, child->complaint));
  }
  return LW_OK;
}

lw_status lw_geo_program_run(const lw_geo_run *run, lw_arena *arena, char **out, size_t *out_length,
                             lw_error *err)
{
  char program[PATH_BYTES];
  lw_status status = find_program(run->program, program, err);
  if (status != LW_OK) {
    return status;
  }
  lw_child child = {.program = program,
                    .input = run->input,
                    .input_length = run->input_length,
                    .most_output = run->most_output};
  child.timeout_ms = run->timeout_ms > 0 ? run->timeout_ms : USUAL_TIMEOUT_MS;
  child.arguments[0] = program;
  for (size_t i = 0; i < sizeof run->arguments / sizeof *run->arguments && run->arguments[i]; i++) {
    child.arguments[i + 1] = run->arguments[i];
  }
  status = lw_child_run(&child, err);
  if (status == LW_OK) {
    status = judge(run, &child, err);
  }
  if (status == LW_OK) {
    *out_length = child.output.length;
    *out = lw_arena_copy_n(arena, lw_text_view(&child.output), child.output.length);
    status = *out ? LW_OK : lw_fail(err, LW_MEMORY, "there is no memory for what %s holds", run->file);
  }
  lw_text_free(&child.output);
  return status;
}

lw_status lw_geo_write(const char *kind, const char *path, const char *geojson, size_t length,
                       const char *program, lw_arena *arena, lw_error *err)
{
  struct stat info;
  if (lstat(path, &info) == 0) {
    return lw_fail(err, LW_CONFLICT, "%s exists already; name another file", path);
  }
  lw_geo_run run = {.program = program,
                    .arguments = {"write", kind, path},
                    .file = path,
                    .input = geojson,
                    .input_length = length};
  char *nothing = NULL;
  size_t nothing_length = 0;
  return lw_geo_program_run(&run, arena, &nothing, &nothing_length, err);
}
