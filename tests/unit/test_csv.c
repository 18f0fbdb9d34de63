/* SPDX-License-Identifier: Apache-2.0 */
/* Tables (RFC 4180) and whole files: what is read, where it stood, what is refused and how it says so. */
#include "check.h"

#include "exchange/csv.h"
#include "exchange/files.h"

#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

typedef struct state {
  lw_arena *arena;
  char folder[64];
} state;

static int begin(void **out)
{
  state *s = calloc(1, sizeof *s);
  assert_non_null(s);
  s->arena = lw_arena_new(0);
  (void)snprintf(s->folder, sizeof s->folder, "/tmp/lw-csv-XXXXXX");
  assert_non_null(mkdtemp(s->folder));
  *out = s;
  return 0;
}

static int end(void **in)
{
  state *s = *in;
  lw_arena_free(s->arena);
  assert_int_equal(rmdir(s->folder), 0); /* every test removes its own files, none is left over */
  free(s);
  return 0;
}

static lw_status parse(void **in, lw_csv *csv, const char *text, lw_error *err)
{
  state *s = *in;
  return lw_csv_parse(csv, "t.csv", text, strlen(text), 0, s->arena, err);
}

static void accept(void **in, lw_csv *csv, const char *text)
{
  lw_error err = {0};
  lw_status status = parse(in, csv, text, &err);
  if (status != LW_OK) {
    print_error("refused: %s (%ld:%ld)\n", err.message, err.line, err.column);
  }
  assert_int_equal(status, LW_OK);
}

static void refuse(void **in, const char *text, long line, long column, const char *piece)
{
  lw_csv csv = {0};
  lw_error err = {0};
  assert_int_equal(parse(in, &csv, text, &err), LW_INVALID);
  assert_holds(err.message, piece);
  assert_string_equal(err.file, "t.csv");
  assert_int_equal(err.line, line);
  assert_int_equal(err.column, column);
  assert_null(csv.cells); /* nothing handed out on failure */
}

static void check_cell(const lw_csv *csv, size_t row, size_t column, const char *text, long line, long at)
{
  const lw_csv_cell *cell = lw_csv_at(csv, row, column);
  assert_string_equal(cell->text, text);
  assert_int_equal(cell->length, strlen(text));
  assert_int_equal(cell->line, line);
  assert_int_equal(cell->column, at);
}

static void reads_cells_and_their_places(void **in)
{
  lw_csv csv;
  accept(in, &csv, "date,clarity (in),note\n2026-04-15,18,\"green, and \"\"thick\"\"\"\n\n2026-04-20,,x");
  assert_int_equal(csv.column_count, 3);
  assert_int_equal(csv.row_count, 2);
  check_cell(&csv, 0, 0, "2026-04-15", 2, 1);
  check_cell(&csv, 0, 1, "18", 2, 12);
  check_cell(&csv, 0, 2, "green, and \"thick\"", 2, 15);
  check_cell(&csv, 1, 1, "", 4, 12);
  check_cell(&csv, 1, 2, "x", 4, 13);
  assert_int_equal(lw_csv_column(&csv, "Date"), 0);
  assert_int_equal(lw_csv_column(&csv, "clarity"), -1);
}

static void reads_line_breaks_in_quotes(void **in)
{
  lw_csv csv;
  accept(in, &csv, "a,b\r\n\"one\r\ntwo\n\",2\r\n3,4\r\n");
  assert_int_equal(csv.row_count, 2);
  check_cell(&csv, 0, 0, "one\ntwo\n", 2, 1);
  check_cell(&csv, 0, 1, "2", 4, 3);
  check_cell(&csv, 1, 0, "3", 5, 1);
}

static void counts_columns_in_characters(void **in)
{
  lw_csv csv;
  accept(in, &csv,
         "\xEF\xBB\xBF"
         "a,b\n"
         "\xC3\xA9\xC3\xA9,\xE2\x82\xAC\n");
  check_cell(&csv, 0, 0, "\xC3\xA9\xC3\xA9", 2, 1);
  check_cell(&csv, 0, 1, "\xE2\x82\xAC", 2, 4);
  assert_int_equal(csv.header[0].column, 1);
  assert_string_equal(csv.header[0].text, "a");
}

static void trims_header_names_only(void **in)
{
  lw_csv csv;
  accept(in, &csv, "date , clarity\n a ,b\n");
  assert_int_equal(lw_csv_column(&csv, "date"), 0);
  assert_int_equal(lw_csv_column(&csv, "clarity"), 1);
  assert_int_equal(csv.header[1].column, 8);
  check_cell(&csv, 0, 0, " a ", 2, 1);
}

static void accepts_a_header_alone(void **in)
{
  lw_csv csv;
  accept(in, &csv, "\n  \na,b");
  assert_int_equal(csv.row_count, 0);
  assert_int_equal(csv.header[0].line, 3);
}

static void an_empty_last_cell_is_a_cell(void **in)
{
  lw_csv csv;
  accept(in, &csv, "a,b\n1,");
  assert_int_equal(csv.row_count, 1);
  check_cell(&csv, 0, 1, "", 2, 3);
}

static void refuses_what_is_not_a_table(void **in)
{
  refuse(in, "", 1, 1, "empty");
  refuse(in, "\n \n", 1, 1, "empty");
  refuse(in, "a,,c\n", 1, 3, "column 2 has no name");
  refuse(in, "a,b, A\n", 1, 6, "'A' twice");
  refuse(in, "a;b\n1;2\n", 1, 1, "semicolons");
  refuse(in, "a\tb\n1\t2\n", 1, 1, "tabs");
  refuse(in, "a,b\n1,2\n3\n", 3, 1, "after cell 1, the header names 2");
  refuse(in, "a,b\n1,2,3\n", 2, 5, "more cells than the 2 columns");
  refuse(in, "a,b\n1,\"x\n\n", 2, 3, "never closed");
  refuse(in, "a,b\n1,\"x\" y\n", 2, 6, "after a closing quote");
  refuse(in, "a,b\n1,14\" deep\n", 2, 5, "inside a cell that does not begin with one");
  refuse(in, "a,b\r1,2\r", 1, 4, "carriage return");
  refuse(in, "a,b\n1,x\x01\n", 2, 4, "0x01");
  refuse(in, "a,b\n1,caf\xE9\n", 2, 6, "0xE9 is not UTF-8");
  refuse(in, "a,b\n1,\xED\xA0\x80\n", 2, 3, "not UTF-8");
  refuse(in,
         "\xFF\xFE"
         "a",
         1, 1, "UTF-16");
}

static void refuses_a_nul_byte(void **in)
{
  state *s = *in;
  lw_csv csv = {0};
  lw_error err = {0};
  const char text[] = "a,b\n1,\0x\n";
  assert_int_equal(lw_csv_parse(&csv, "t.csv", text, sizeof text - 1, 0, s->arena, &err), LW_INVALID);
  assert_holds(err.message, "0x00");
}

static void keeps_its_limits(void **in)
{
  state *s = *in;
  lw_csv csv = {0};
  lw_error err = {0};
  lw_text text = LW_TEXT(1 << 20);
  lw_text_add(&text, "c0");
  for (int i = 1; i < 257; i++) {
    lw_text_addf(&text, ",c%d", i);
  }
  assert_int_equal(parse(in, &csv, lw_text_view(&text), &err), LW_LIMIT);
  assert_holds(err.message, "256 columns");
  lw_text_clear(&text);
  lw_text_add(&text, "a,b\n1,");
  for (int i = 0; i < 70000; i++) {
    lw_text_add_n(&text, "x", 1);
  }
  assert_int_equal(parse(in, &csv, lw_text_view(&text), &err), LW_LIMIT);
  assert_holds(err.message, "65536 bytes");
  assert_int_equal(err.column, 3);
  lw_status status = lw_csv_parse(&csv, "t", text.data, text.length, 1 << 20, s->arena, &err);
  assert_int_equal(status, LW_OK);
  assert_int_equal(lw_csv_at(&csv, 0, 1)->length, 70000);
  lw_text_free(&text);
}

static void check_unit(void **in, const char *header, const char *name, const char *unit)
{
  state *s = *in;
  lw_error err = {0};
  lw_csv_cell cell = {.text = header, .length = strlen(header), .line = 1, .column = 5};
  const char *got_name = NULL;
  const char *got_unit = NULL;
  lw_status status = lw_csv_split_unit(&cell, s->arena, &got_name, &got_unit, &err);
  if (!name) {
    assert_int_equal(status, LW_INVALID);
    assert_holds(err.message, header);
    assert_int_equal(err.column, 5);
    return;
  }
  assert_int_equal(status, LW_OK);
  assert_string_equal(got_name, name);
  assert_string_equal(got_unit, unit);
}

static void splits_units_off_headers(void **in)
{
  check_unit(in, "clarity (in)", "clarity", "in");
  check_unit(in, "clarity(in)", "clarity", "in");
  check_unit(in, "mud pH", "mud pH", "");
  check_unit(in, "alkalinity (mg/L (as CaCO3)) ", "alkalinity", "mg/L (as CaCO3)");
  check_unit(in, "clarity ()", NULL, NULL);
  check_unit(in, "(in)", NULL, NULL);
  check_unit(in, "clarity (in", NULL, NULL);
  check_unit(in, "clarity in)", NULL, NULL);
  check_unit(in, "clarity (in) x", NULL, NULL);
  check_unit(in, "a) (in)", NULL, NULL);
}

static void writes_what_it_reads(void **in)
{
  static const char *const cells[] = {
      "", "plain", "a,b", "say \"so\"", "two\nlines", " spaced ", "=1+1", "caf\xC3\xA9", "-", "a;b", ""};
  enum { COUNT = sizeof cells / sizeof cells[0] };
  lw_text text = LW_TEXT(1 << 16);
  for (size_t i = 0; i < COUNT; i++) {
    char name[16];
    (void)snprintf(name, sizeof name, "c%zu", i);
    lw_csv_write_cell(&text, name, i == 0);
  }
  lw_csv_write_end(&text);
  for (size_t i = 0; i < COUNT; i++) {
    lw_csv_write_cell(&text, cells[i], i == 0);
  }
  lw_csv_write_end(&text);
  lw_csv csv;
  accept(in, &csv, lw_text_view(&text));
  assert_int_equal(csv.column_count, COUNT);
  assert_int_equal(csv.row_count, 1);
  for (size_t i = 0; i < COUNT; i++) {
    assert_string_equal(lw_csv_at(&csv, 0, i)->text, cells[i]);
  }
  assert_holds(lw_text_view(&text), ",=1+1,"); /* data, not a sheet: not disarmed, not changed */
  lw_text_free(&text);
}

static void one_empty_cell_is_not_a_blank_line(void **in)
{
  lw_text text = LW_TEXT(100);
  lw_csv_write_cell(&text, "note", 1);
  lw_csv_write_end(&text);
  lw_csv_write_cell(&text, "", 1);
  lw_csv_write_end(&text);
  lw_csv csv;
  accept(in, &csv, lw_text_view(&text));
  assert_int_equal(csv.row_count, 1);
  lw_text_free(&text);
}

/* --- whole files --- */

static const char *path_in(void **in, const char *name)
{
  state *s = *in;
  return lw_arena_format(s->arena, "%s/%s", s->folder, name);
}

static void writes_and_reads_a_file(void **in)
{
  state *s = *in;
  lw_error err = {0};
  const char *path = path_in(in, "a.txt");
  char *got = NULL;
  size_t length = 0;
  assert_int_equal(lw_file_write(path, "one\0two", 7, 0, &err), LW_OK);
  assert_int_equal(lw_file_read(path, 7, s->arena, &got, &length, &err), LW_OK);
  assert_int_equal(length, 7);
  assert_memory_equal(got, "one\0two", 8);
  assert_int_equal(lw_file_write(path, "x", 1, 0, &err), LW_CONFLICT);
  assert_holds(err.message, "exists already");
  assert_int_equal(lw_file_read(path, 7, s->arena, &got, &length, &err), LW_OK);
  assert_int_equal(length, 7);
  assert_int_equal(chmod(path, 0640), 0);
  assert_int_equal(lw_file_write(path, "new", 3, 1, &err), LW_OK);
  struct stat info;
  assert_int_equal(stat(path, &info), 0);
  assert_int_equal(info.st_mode & 0777, 0640);
  assert_int_equal(info.st_size, 3);
  assert_int_equal(lw_file_read(path, 2, s->arena, &got, &length, &err), LW_LIMIT);
  assert_holds(err.message, "3 bytes");
  assert_holds(err.message, "at most 2");
  assert_int_equal(unlink(path), 0);
}

static void writes_through_a_link(void **in)
{
  lw_error err = {0};
  const char *path = path_in(in, "real.txt");
  const char *alias = path_in(in, "alias.txt");
  assert_int_equal(lw_file_write(path, "old", 3, 0, &err), LW_OK);
  assert_int_equal(symlink("real.txt", alias), 0);
  assert_int_equal(lw_file_write(alias, "newer", 5, 1, &err), LW_OK);
  struct stat info;
  assert_int_equal(lstat(alias, &info), 0);
  assert_true(S_ISLNK(info.st_mode));
  assert_int_equal(stat(path, &info), 0);
  assert_int_equal(info.st_size, 5);
  assert_int_equal(unlink(path), 0);
  assert_int_equal(unlink(alias), 0);
}

static void refuses_what_is_not_a_file(void **in)
{
  state *s = *in;
  lw_error err = {0};
  char *got = NULL;
  size_t length = 0;
  lw_csv csv;
  assert_int_equal(lw_file_read(path_in(in, "none"), 9, s->arena, &got, &length, &err), LW_NOT_FOUND);
  assert_holds(err.message, "none");
  assert_int_equal(lw_csv_read(&csv, path_in(in, "none.csv"), 0, s->arena, &err), LW_NOT_FOUND);
  assert_int_equal(lw_file_read(s->folder, 9, s->arena, &got, &length, &err), LW_INVALID);
  assert_holds(err.message, "a folder");
  assert_int_equal(lw_file_read("/dev/zero", 9, s->arena, &got, &length, &err), LW_INVALID);
  const char *pipe_path = path_in(in, "pipe");
  assert_int_equal(mkfifo(pipe_path, 0600), 0);
  assert_int_equal(lw_file_read(pipe_path, 9, s->arena, &got, &length, &err), LW_INVALID);
  assert_int_equal(unlink(pipe_path), 0);
  assert_int_equal(lw_file_write(s->folder, "x", 1, 1, &err), LW_INVALID);
  assert_int_equal(lw_file_write(path_in(in, "no/x"), "x", 1, 1, &err), LW_NOT_FOUND);
  assert_int_equal(lw_file_write("/dev/full", "x", 1, 1, &err), LW_INVALID);
}

static void reads_a_table_from_a_file(void **in)
{
  state *s = *in;
  lw_error err = {0};
  lw_csv csv;
  const char *path = path_in(in, "t.csv");
  assert_int_equal(lw_file_write(path, "a,b\n1,2\n3", 9, 0, &err), LW_OK);
  assert_int_equal(lw_csv_read(&csv, path, 0, s->arena, &err), LW_INVALID);
  assert_string_equal(err.file, path);
  assert_int_equal(err.line, 3);
  assert_int_equal(lw_file_write(path, "a,b\n1,2\n3,4", 11, 1, &err), LW_OK);
  assert_int_equal(lw_csv_read(&csv, path, 0, s->arena, &err), LW_OK);
  assert_int_equal(csv.row_count, 2);
  assert_string_equal(csv.file, path);
  assert_int_equal(unlink(path), 0);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, begin, end)

int main(void)
{
  const struct CMUnitTest tests[] = {
      TEST(reads_cells_and_their_places),
      TEST(reads_line_breaks_in_quotes),
      TEST(counts_columns_in_characters),
      TEST(trims_header_names_only),
      TEST(accepts_a_header_alone),
      TEST(an_empty_last_cell_is_a_cell),
      TEST(refuses_what_is_not_a_table),
      TEST(refuses_a_nul_byte),
      TEST(keeps_its_limits),
      TEST(splits_units_off_headers),
      TEST(writes_what_it_reads),
      TEST(one_empty_cell_is_not_a_blank_line),
      TEST(writes_and_reads_a_file),
      TEST(writes_through_a_link),
      TEST(refuses_what_is_not_a_file),
      TEST(reads_a_table_from_a_file),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
