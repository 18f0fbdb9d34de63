/* SPDX-License-Identifier: Apache-2.0 */
/* Runs every row of tests/published/ through the method registry, as a person would type it, and
 * compares with what the source prints, within the rounding of the print. TAP on standard output.
 *
 *   run_published FOLDER
 *
 * Files other than known-misses.csv must agree. Rows of known-misses.csv are prints that disagree with
 * the formula: each must go on missing, by the value its note states ("formula gives 12.448, ..."), so
 * that a change of the formula is noticed here too. */
#include "advice/methods.h"
#include "base/arena.h"
#include "base/text.h"
#include "base/units.h"
#include "exchange/csv.h"

#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { IDS_MAX = 20000, FILES_MAX = 200, CELL_MAX = 4096, ARENA_MAX = 64 * 1024 * 1024 };
enum { ID, METHOD, INPUTS, OUTPUT, EXPECTED, UNIT, TOLERANCE, SOURCE, LOCATOR, BASIS, NOTE, COLUMNS };
enum { BASES = 4 };

static const char *const columns[COLUMNS] = {"id",        "method", "inputs",  "output", "expected", "unit",
                                             "tolerance", "source", "locator", "basis",  "note"};
static const char *const bases[BASES] = {"read", "memory", "common practice", "computed"};
static const char known_misses[] = "known-misses.csv";

typedef struct tally {
  int agree, differ, known;
} tally;

typedef struct run {
  lw_arena *arena;
  lw_evaluation *evaluation;
  const char *ids[IDS_MAX];
  size_t id_count;
  int tests, failures;
  tally by_basis[BASES];
} run;

/* One row, its cells read and checked. */
typedef struct row {
  const char *cell[COLUMNS];
  double expected, tolerance;
  size_t basis;
  bool must_miss;
} row;

/* A TAP description must not hold '#', which would start a directive. */
static const char *plain(const char *text, char out[160])
{
  size_t i = 0;
  for (; text[i] && i < 159; i++) {
    out[i] = text[i] == '#' || text[i] == '\n' ? ' ' : text[i];
  }
  out[i] = '\0';
  return out;
}

static void report_failure(run *r, const char *id, const char *message)
{
  char text[160];
  printf("not ok %d - %s\n", ++r->tests, plain(id, text));
  printf("# %s\n", message);
  r->failures++;
}

static lw_status read_number(double *out, const char *column, const char *text, lw_error *err)
{
  const char *end = NULL;
  if (!lw_read_number(text, false, out, &end) || *end != '\0') {
    return lw_fail(err, LW_INVALID, "%s is '%.40s'; it must be a number", column, text);
  }
  return LW_OK;
}

static lw_status check_id(run *r, const char *id, lw_error *err)
{
  if (*id == '\0' || r->id_count == IDS_MAX) {
    return lw_fail(err, LW_INVALID, "id is missing, or there are too many rows");
  }
  for (size_t i = 0; i < r->id_count; i++) {
    if (strcmp(r->ids[i], id) == 0) {
      return lw_fail(err, LW_INVALID, "id %.60s stands twice; ids are unique over all files", id);
    }
  }
  r->ids[r->id_count++] = id;
  return LW_OK;
}

static lw_status check_row(run *r, row *x, lw_error *err)
{
  lw_status s = check_id(r, x->cell[ID], err);
  if (s == LW_OK) {
    s = read_number(&x->expected, "expected", x->cell[EXPECTED], err);
  }
  if (s == LW_OK) {
    s = read_number(&x->tolerance, "tolerance", x->cell[TOLERANCE], err);
  }
  if (s != LW_OK) {
    return s;
  }
  if (x->tolerance < 0) {
    return lw_fail(err, LW_INVALID, "tolerance is negative; it must be 0 (exact) or more");
  }
  if (x->cell[SOURCE][0] == '\0') {
    return lw_fail(err, LW_INVALID, "source is missing; name who printed the figure");
  }
  for (x->basis = 0; x->basis < BASES; x->basis++) {
    if (strcmp(bases[x->basis], x->cell[BASIS]) == 0) {
      return LW_OK;
    }
  }
  return lw_fail(err, LW_INVALID, "basis is '%.40s'; it must be read, memory, common practice or computed",
                 x->cell[BASIS]);
}

/* Sets "key=value; key=value" one after the other. `text` is a copy of ours. */
static lw_status set_inputs(lw_evaluation *evaluation, char *text, lw_error *err)
{
  char *rest = NULL;
  for (char *pair = strtok_r(text, ";", &rest); pair; pair = strtok_r(NULL, ";", &rest)) {
    pair += strspn(pair, " ");
    char *value = strchr(pair, '=');
    if (!value) {
      return lw_fail(err, LW_INVALID, "inputs: '%.40s' is not key=value", pair);
    }
    *value++ = '\0';
    for (size_t n = strlen(value); n > 0 && value[n - 1] == ' '; n--) {
      value[n - 1] = '\0';
    }
    lw_status s = lw_evaluation_set(evaluation, pair, value, err);
    if (s != LW_OK) {
      return s;
    }
  }
  return LW_OK;
}

static const char *output_unit(const lw_method *method, const char *name)
{
  size_t n = lw_method_output_count(method);
  for (size_t i = 0; i < n; i++) {
    if (strcmp(method->outputs[i].name, name) == 0) {
      return method->outputs[i].unit;
    }
  }
  return "";
}

static lw_status evaluate(run *r, const row *x, double *out, lw_error *err)
{
  const lw_method *method = lw_method_find(lw_methods, x->cell[METHOD]);
  char *inputs = lw_arena_copy(r->arena, x->cell[INPUTS]);
  if (!method || !inputs) {
    return lw_fail(err, LW_NOT_FOUND, "there is no method '%.60s'", x->cell[METHOD]);
  }
  double value = 0;
  lw_evaluation_begin(r->evaluation, method);
  lw_status s = set_inputs(r->evaluation, inputs, err);
  if (s == LW_OK) {
    s = lw_evaluation_run(r->evaluation, err);
  }
  if (s == LW_OK) {
    s = lw_evaluation_result(r->evaluation, x->cell[OUTPUT], &value, err);
  }
  if (s == LW_OK) {
    s = lw_convert(out, value, output_unit(method, x->cell[OUTPUT]), x->cell[UNIT], err);
  }
  return s;
}

/* The value a known miss states, and half of its last printed digit. */
static bool stated_value(const char *note, double *out, double *half_digit)
{
  static const char words[] = "formula gives ";
  const char *at = strstr(note, words);
  const char *end = NULL;
  if (!at || !lw_read_number(at + sizeof words - 1, false, out, &end)) {
    return false;
  }
  const char *point = strchr(at, '.');
  int decimals = point && point < end ? (int)(end - point) - 1 : 0;
  *half_digit = 0.5 * pow(10.0, -decimals);
  return true;
}

static void judge_known_miss(run *r, const row *x, double got)
{
  char text[200];
  char name[160];
  double stated = 0;
  double half_digit = 0;
  if (fabs(got - x->expected) <= x->tolerance) {
    report_failure(r, x->cell[ID], "agrees with the print now: move the row out of known-misses.csv");
    return;
  }
  if (!stated_value(x->cell[NOTE], &stated, &half_digit)) {
    report_failure(r, x->cell[ID], "the note does not say 'formula gives ...'");
    return;
  }
  if (!(fabs(got - stated) <= half_digit * 1.0001)) {
    (void)snprintf(text, sizeof text, "the note says the formula gives %.9g; it gives %.9g", stated, got);
    report_failure(r, x->cell[ID], text);
    return;
  }
  r->by_basis[x->basis].known++;
  printf("not ok %d - %s %s # TODO known miss: printed %.9g, formula %.9g\n", ++r->tests, x->cell[ID],
         plain(x->cell[SOURCE], name), x->expected, got);
}

static void judge(run *r, const row *x, double got)
{
  char text[200];
  char name[160];
  bool agrees = fabs(got - x->expected) <= x->tolerance;
  if (x->must_miss) {
    judge_known_miss(r, x, got);
  } else if (agrees) {
    r->by_basis[x->basis].agree++;
    printf("ok %d - %s %s\n", ++r->tests, x->cell[ID], plain(x->cell[SOURCE], name));
  } else {
    r->by_basis[x->basis].differ++;
    (void)snprintf(text, sizeof text, "%s: got %.12g %s, printed %.12g, off by %.3g, allowed %.3g",
                   x->cell[METHOD], got, x->cell[UNIT], x->expected, got - x->expected, x->tolerance);
    report_failure(r, x->cell[ID], text);
  }
}

static void run_row(run *r, row *x)
{
  lw_error err = {0};
  double got = 0;
  lw_status s = check_row(r, x, &err);
  if (s == LW_OK) {
    s = evaluate(r, x, &got, &err);
  }
  if (s == LW_OK) {
    judge(r, x, got);
  } else {
    report_failure(r, x->cell[ID], err.message);
  }
}

static void run_file(run *r, const char *folder, const char *file)
{
  lw_error err = {0};
  lw_csv csv;
  char *path = lw_arena_format(r->arena, "%s/%s", folder, file);
  if (!path || lw_csv_read(&csv, path, CELL_MAX, r->arena, &err) != LW_OK) {
    report_failure(r, file, err.message);
    return;
  }
  int at[COLUMNS];
  for (int c = 0; c < COLUMNS; c++) {
    at[c] = lw_csv_column(&csv, columns[c]);
    if (at[c] < 0) {
      report_failure(r, file,
                     "a column is missing; the header is id,method,inputs,output,expected,unit,"
                     "tolerance,source,locator,basis,note");
      return;
    }
  }
  for (size_t i = 0; i < csv.row_count; i++) {
    row x = {.must_miss = strcmp(file, known_misses) == 0};
    for (int c = 0; c < COLUMNS; c++) {
      x.cell[c] = lw_csv_at(&csv, i, (size_t)at[c])->text;
    }
    run_row(r, &x);
  }
}

static int by_name(const void *a, const void *b)
{
  return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static size_t list_files(run *r, const char *folder, const char *files[FILES_MAX])
{
  size_t count = 0;
  DIR *dir = opendir(folder);
  if (!dir) {
    return 0;
  }
  for (struct dirent *entry = readdir(dir); entry && count < FILES_MAX; entry = readdir(dir)) {
    size_t n = strlen(entry->d_name);
    if (n > 4 && strcmp(entry->d_name + n - 4, ".csv") == 0) {
      files[count] = lw_arena_copy(r->arena, entry->d_name);
      count += files[count] != NULL;
    }
  }
  (void)closedir(dir);
  qsort(files, count, sizeof *files, by_name);
  return count;
}

static void run_folder(run *r, const char *folder)
{
  const char *files[FILES_MAX];
  size_t count = list_files(r, folder, files);
  if (count == 0) {
    report_failure(r, folder, "the folder holds no .csv file");
  }
  for (size_t i = 0; i < count; i++) {
    run_file(r, folder, files[i]);
  }
  printf("1..%d\n", r->tests);
  for (size_t b = 0; b < BASES; b++) {
    printf("# %s: %d agree, %d differ, %d known misses\n", bases[b], r->by_basis[b].agree,
           r->by_basis[b].differ, r->by_basis[b].known);
  }
}

int main(int argc, char **argv)
{
  if (argc != 2) {
    (void)fprintf(stderr, "usage: run_published FOLDER\n");
    return 2;
  }
  run *r = calloc(1, sizeof *r);
  lw_evaluation *evaluation = calloc(1, sizeof *evaluation);
  lw_arena *arena = lw_arena_new(ARENA_MAX);
  int code = 1;
  if (r && evaluation && arena) {
    r->arena = arena;
    r->evaluation = evaluation;
    run_folder(r, argv[1]);
    code = r->failures > 0 || r->tests == 0;
  }
  lw_arena_free(arena);
  free(evaluation);
  free(r);
  return code;
}
