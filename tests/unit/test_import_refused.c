/* SPDX-License-Identifier: Apache-2.0 */
/* Tables that are refused: where each fault stands, what is said, and that the store stays as it was. */
#include "import_fixture.h"

typedef struct refusal {
  const char *kind, *text;
  long line, column;
  const char *piece;
} refusal;

#define R "readings"
#define T "treatments"
#define M "materials"
#define LONG_HEAD "water,date,quantity,value,unit\n"
#define WIDE_HEAD "water,date,secchi (in),water-color\n"
#define POUR_HEAD "water,date,material,amount (lb)\n"

static const refusal headers[] = {
    {R, "water,date,clearness\n", 1, 12,
     "a table of readings has no column 'clearness'; it may have water, date, "},
    {R, "water,secchi (in)\nUpper Sedge,40\n", 1, 1, "needs the column date"},
    {R, "date,secchi (in)\n2026-04-01,40\n", 1, 1, "needs the column water"},
    {R, "water,date\nUpper Sedge,2026-04-01\n", 1, 1, "one column a quantity such as 'secchi (in)'"},
    {R, "water,date,value\nUpper Sedge,2026-04-01,3\n", 1, 1, "the column quantity beside value"},
    {R, "water,date,quantity\nUpper Sedge,2026-04-01,ph\n", 1, 1, "the column value beside quantity"},
    {R, "water,date,quantity,value,secchi (in)\n", 1, 27, "not both"},
    {R, "water,date,unit,secchi (in)\n", 1, 1, "no column unit"},
    {R, "water,date,secchi (lb)\n", 1, 12, "'lb' is not a unit of secchi; what fits is in, ft, cm or m"},
    {R, "water,date,secchi (furlong)\n", 1, 12, "'furlong' is not a unit of secchi"},
    {R, "water,date,pH (mg/L)\n", 1, 12, "takes no unit"},
    {R, "water,date,water-color (m)\n", 1, 12, "takes no unit"},
    {R, "water,date,note (in),secchi (in)\n", 1, 12, "takes no unit"},
    {R, "water,date,value (smoot),quantity\n", 1, 12, "not a unit"},
    {R, "water,date,secchi (in),Secchi (cm)\n", 1, 24, "say the same thing"},
    {R, "water,date,day,secchi (in)\n", 1, 12, "the columns 'date' and 'day' say the same thing"},
    {R, "water,date,depth_m (ft),secchi (in)\n", 1, 12, "no column 'depth_m'"},
    {R, "water,date,secchi (in\n", 1, 12, "unit in parentheses"},
    {R, "water,date,minute,secchi (in)\n", 1, 12, "no column 'minute'"},
    {T, "water,date,amount (lb)\n", 1, 1, "the column material"},
    {T, "water,date,material\n", 1, 1, "the column amount or packages"},
    {T, "water,date,material,amount (acre)\n", 1, 21, "'acre' is not a unit of amount; what fits is lb, "},
    {T, "water,date,material,packages (lb)\n", 1, 21, "takes no unit"},
    {M, "name,grade\n", 1, 1, "the column form"},
    {M, "form,grade\n", 1, 1, "the column name"},
    {M, "name,form,price (lb)\n", 1, 11, "takes no unit"},
    {"lots", "material,packages\n", 1, 1, "the column date"},
    {"lots", "date,packages\n", 1, 1, "the column material"},
    {"lots", "date,material\n", 1, 1, "the column packages"},
    {"weather", "date,rain (in)\n", 1, 1, "the column forecast"},
    {"weather", "date,forecast\n", 1, 1, "one of the columns rain, wind, air and cloud"},
    {"notes", "date,water\n", 1, 1, "the column text"},
    {R, "water,date,secchi (in)\n", 1, 1, "a header and no rows"},
    {R, "", 1, 1, "empty"},
    {R, "water,date,secchi (in)\nUpper Sedge,2026-04-01\n", 2, 1, "the row ends after cell 2"},
    {R, "water,date,secchi (in)\nUpper Sedge,2026-04-01,1,200\n", 2, 26, "more cells"},
    {R, "water,date,secchi (in)\nUpper Sedge,2026-04-01,\"40\n", 2, 24, "never closed"},
    {R, "water;date;secchi (in)\nUpper Sedge;2026-04-01;40\n", 1, 1, "semicolons"},
};

static const refusal rows[] = {
    /* names and days */
    {R, WIDE_HEAD "Uper Sedge,2026-04-01,40,\n", 2, 1,
     "there is no water named 'Uper Sedge'; did you mean 'Upper Sedge'?"},
    {R, WIDE_HEAD ",2026-04-01,40,\n", 2, 1, "the water is missing"},
    {R, WIDE_HEAD "-,2026-04-01,40,\n", 2, 1, "there is no water named '-'"},
    {R, WIDE_HEAD "Upper Sedge,2026-04-21,40,\n", 2, 13, "2026-04-21 is in the future (today is 2026-04-20)"},
    {R, WIDE_HEAD "Upper Sedge,,40,\n", 2, 13, "the date is missing"},
    {R, WIDE_HEAD "Upper Sedge,4/15/2026,40,\n", 2, 13, "'4/15/2026' is not a date"},
    {R, WIDE_HEAD "Upper Sedge,2026-02-30,40,\n", 2, 13, "there is no day '2026-02-30'"},
    {R, "water,date,time,secchi (in)\nUpper Sedge,2026-04-01,25:00,40\n", 2, 24, "not a time of day"},
    {T, POUR_HEAD "Upper Sedge,2026-04-01,Powder 12-84-8,100\n", 2, 24, "did you mean 'Powder 12-48-8'"},
    {T, POUR_HEAD "Upper Sedge,2026-04-01,,100\n", 2, 24, "the material is missing"},
    {T, "water,date,material,amount (lb),zone\nHeron Pool,2026-04-01,Powder 12-48-8,9,North arm\n", 2, 40,
     "no zone 'North arm'; it has none"},
    {"notes", "water,date,text\n,2026-04-01,seen\n", 2, 1, "write - for the whole place"},
    {"notes", "date,text\n2026-05-01,seen\n", 2, 1, "in the future"},
    {"notes", "date,text\n2026-04-01,\n", 2, 1, "note text is missing"},
    /* numbers and units */
    {R, "water,date,secchi\nUpper Sedge,2026-04-01,18\n", 2, 24,
     "secchi: '18' has no unit; put it in the header, like 'secchi (in)', or in the cell, like '18 in'; what "
     "fits is "
     "in, ft, cm or m"},
    {R, "water,date,weed-cover\nUpper Sedge,2026-04-01,30\n", 2, 24, "has no unit"},
    {R, "water,date,secchi (in),depth\nUpper Sedge,2026-04-01,40,3\n", 2, 27, "depth: '3' has no unit"},
    {R, LONG_HEAD "Upper Sedge,2026-04-01,temperature,68,\n", 2, 36, "what fits is degF or degC"},
    {R, LONG_HEAD "Upper Sedge,2026-04-01,ph,7,SU\n", 2, 29, "ph takes no unit; leave 'SU' out"},
    {R, LONG_HEAD "Upper Sedge,2026-04-01,water-color,tea,m\n", 2, 40, "takes no unit"},
    {R, LONG_HEAD "Upper Sedge,2026-04-01,secchi,18,lb\n", 2, 31, "not a measure of secchi"},
    {R, LONG_HEAD "Upper Sedge,2026-04-01,secchi,,in\n", 2, 31, "the value is missing"},
    {R, LONG_HEAD "Upper Sedge,2026-04-01,salinity,3,ppm\n", 2, 24,
     "'salinity' is not a quantity Lakeward keeps"},
    {R, WIDE_HEAD "Upper Sedge,2026-04-01,n/a,\n", 2, 24, "'n/a' is not a number"},
    {R, WIDE_HEAD "Upper Sedge,2026-04-01,nan,\n", 2, 24, "'nan' is not a number"},
    {R, WIDE_HEAD "Upper Sedge,2026-04-01,1e999,\n", 2, 24, "is not a number"},
    {R, WIDE_HEAD "Upper Sedge,2026-04-01,<5,\n", 2, 24, "'<5' is not a number"},
    {R, WIDE_HEAD "Upper Sedge,2026-04-01,\"40,5\",\n", 2, 24, "not a unit"},
    {R, WIDE_HEAD "Upper Sedge,2026-04-01,-4,\n", 2, 24, "is not possible; expected between 0.01 m and 20 m"},
    {R, WIDE_HEAD "Upper Sedge,2026-04-01,18 degC,\n", 2, 24, "not a measure of secchi"},
    {R, WIDE_HEAD "Upper Sedge,2026-04-01,,purple\n", 2, 25, "it must be one of green|brown-mud|tea|clear"},
    {R, WIDE_HEAD "Upper Sedge,2026-04-01,,\n", 2, 24, "the row holds no reading"},
    {R, "water,date,secchi (in),depth (ft)\nUpper Sedge,2026-04-01,40,-2\n", 2, 27,
     "outside what is possible"},
    /* the shelf */
    {T, POUR_HEAD "Upper Sedge,2026-04-01,Powder 12-48-8,\n", 2, 39, "needs its amount"},
    {T, POUR_HEAD "Upper Sedge,2026-04-01,Powder 12-48-8,0\n", 2, 39, "must be more than nothing"},
    {T, POUR_HEAD "Upper Sedge,2026-04-01,Powder 12-48-8,-3 bags\n", 2, 39, "must be more than nothing"},
    {T, POUR_HEAD "Upper Sedge,2026-04-01,Powder 12-48-8,9 acre\n", 2, 39, "not a measure of amount"},
    {T, POUR_HEAD "Upper Sedge,2026-04-01,Powder 12-48-8,9 gal\n", 2, 39,
     "the density of Powder 12-48-8 is not on record"},
    {T, "water,date,material,amount\nUpper Sedge,2026-04-01,Powder 12-48-8,4\n", 2, 39,
     "amount: '4' has no unit; put it in the header, like 'amount (lb)'"},
    {T, "water,date,material,amount,packages\nUpper Sedge,2026-04-01,Powder 12-48-8,4 lb,2\n", 2, 44,
     "give one of them"},
    {T, "water,date,material,packages\nUpper Sedge,2026-04-01,Powder 12-48-8,4 lb\n", 2, 39,
     "not a number of packages"},
    {T, "water,date,material,amount (lb),purpose\nUpper Sedge,2026-04-01,Powder 12-48-8,4,fun\n", 2, 41,
     "must be one of feed|lime|weed|other"},
    {M, "name,form,grade\nPowder 12-48-8,soluble-powder,12-48-9\n", 2, 1, "is taken by material 1"},
    {M, "name,kind,form,grade\nA,fertilizer,granular,\n", 2, 23, "a fertilizer needs its grade"},
    {M, "name,form,grade\nA,granular,20-20\n", 2, 12, "20-20"},
    {M, "name,form,grade\nA,powdery,20-20-5\n", 2, 3, "must be one of liquid|"},
    {M, "name,form,package\nA,ground,50\n", 2, 10, "package: '50' has no unit"},
    {M, "name,form,grade,package\nA,liquid,9-18-9,1 gal\n", 2, 17, "needs the density too"},
    {M, "name,form,price\nA,ground,-1\n", 2, 10, "must be 0 to 10,000,000"},
    {M, "name,form\n,ground\n", 2, 1, "material name is missing"},
    {"lots", "date,material,packages\n2026-04-01,Powder 12-48-8,few\n", 2, 27,
     "'few' is not a number of packages"},
    {"lots", "date,material,packages\n2026-04-01,Powder 12-48-8,0\n", 2, 27, "lot packages is 0"},
    /* weather */
    {"weather", "date,forecast,rain (in)\n2026-04-01,maybe,1\n", 2, 12, "must be yes for a forecast or no"},
    {"weather", "date,forecast,rain (in)\n2026-04-22,no,1\n", 2, 1, "in the future"},
    {"weather", "date,forecast,rain (in)\n2026-04-01,no,\n", 2, 1, "at least one of"},
    {"weather", "date,forecast,rain\n2026-04-01,no,1\n", 2, 15, "what fits is in, mm or cm"},
    {"weather", "date,forecast,issued,rain (in)\n2026-04-22,yes,2026-04-22,1\n", 2, 16, "in the future"},
};

static void check_refusal(place *p, const refusal *r, size_t faults)
{
  int64_t before = revision(p);
  lw_status s = import(p, r->kind, r->text);
  if (s != LW_INVALID || p->report.faults.count < faults || p->report.added || p->report.change) {
    print_error("%s: %s\n-> %s, %zu faults\n", r->kind, r->text, lw_status_id(s), p->report.faults.count);
    fail();
  }
  if (p->report.faults.listed == 0 || p->report.faults.items[0].line != r->line ||
      p->report.faults.items[0].column != r->column || !strstr(p->report.faults.items[0].message, r->piece)) {
    print_error("%s: %s\n", r->kind, r->text);
  }
  assert_fault(p, 0, r->line, r->column, r->piece);
  assert_int_equal(p->f.err.status, LW_INVALID);
  assert_string_equal(p->f.err.file, "sheet.csv");
  assert_int_equal(p->f.err.line, r->line);
  assert_int_equal(p->f.err.column, r->column);
  assert_int_equal(revision(p), before);
}

static void each_refused(place *p, const refusal *list, size_t count)
{
  char *before = export_text(p);
  for (size_t i = 0; i < count; i++) {
    check_refusal(p, &list[i], 1);
  }
  char *after = export_text(p);
  assert_string_equal(before, after);
  free(before);
  free(after);
  assert_whole(&p->f, p->f.store);
}

static void headers_are_refused(void **state)
{
  each_refused(*state, headers, sizeof headers / sizeof headers[0]);
}

static void rows_are_refused(void **state)
{
  each_refused(*state, rows, sizeof rows / sizeof rows[0]);
}

/* Good rows before, between and after a bad one stay out; a cell's own line counts inside quotes. */
static void one_bad_row_keeps_all_out(void **state)
{
  place *p = *state;
  lw_reading *r = NULL;
  char *before = export_text(p);
  assert_int_equal(
      import(p, R,
             "water,date,note,secchi (in)\r\nUpper Sedge,2026-04-01,\"two\r\nlines\",40\r\n"
             "Upper Sedge,2026-04-02,\"a \"\"b\"\", c\",4000\r\n\r\nUpper Sedge,2026-04-03,,41\r\n"
             "Nowhere,soon,,x\r\n"),
      LW_INVALID);
  assert_int_equal(p->report.faults.count, 4);
  assert_fault(p, 0, 4, 37, "not possible"); /* after a quoted comma and doubled quotes */
  assert_fault(p, 1, 7, 1, "no water named 'Nowhere'");
  assert_fault(p, 2, 7, 9, "'soon' is not a date");
  assert_fault(p, 3, 7, 15, "'x' is not a number");
  assert_holds(p->f.err.message, "4 faults, nothing was written: ");
  assert_int_equal(readings(p, &r), 0);
  char *after = export_text(p);
  assert_string_equal(before, after);
  free(before);
  free(after);
}

/* Columns count characters, not bytes, and a byte-order mark is none. */
static void columns_count_characters(void **state)
{
  place *p = *state;
  assert_int_equal(
      import(p, R, "\xEF\xBB\xBFnote,water,date,secchi (in)\ncaf\xC3\xA9,Upper Sedge,2026-04-01,no\n"),
      LW_INVALID);
  assert_fault(p, 0, 2, 29, "'no' is not a number");
  assert_int_equal(import(p, R, "\xEF\xBB\xBFwaters,date\n"), LW_INVALID);
  assert_fault(p, 0, 1, 1, "no column 'waters'");
}

/* What only the store checks is told at its cell too. */
static void faults_of_the_store_find_their_cell(void **state)
{
  place *p = *state;
  lw_text text = LW_TEXT(4096);
  lw_text_add(&text, "water,date,secchi (in),by\nUpper Sedge,2026-04-01,40,");
  for (int i = 0; i < 90; i++) {
    lw_text_add(&text, "x");
  }
  lw_text_add(&text, "\n");
  assert_int_equal(import(p, R, lw_text_view(&text)), LW_INVALID);
  assert_fault(p, 0, 2, 27, "reading by has 90 characters; at most 80");
  lw_text_free(&text);
  assert_int_equal(import(p, T, POUR_HEAD "Upper Sedge,2026-04-01,Powder 12-48-8,1e9\n"), LW_INVALID);
  assert_fault(p, 0, 2, 39, "treatment mass is ");
  assert_int_equal(import(p, M, "name,note,form,package (kg)\nA,,ground,2000000\n"), LW_INVALID);
  assert_fault(p, 0, 2, 11, "material mass of a package is 2000000 kg");
}

static void fifty_faults_are_listed_and_all_counted(void **state)
{
  place *p = *state;
  lw_text text = LW_TEXT(100000);
  lw_text_add(&text, WIDE_HEAD);
  for (int i = 0; i < 400; i++) {
    lw_text_addf(&text, "No Such Pool,2026-04-01,40,\n");
  }
  assert_int_equal(import(p, R, lw_text_view(&text)), LW_INVALID);
  assert_int_equal(p->report.faults.listed, LW_IMPORT_LISTED);
  assert_int_equal(p->report.faults.count, 400);
  assert_int_equal(p->report.rows, 400);
  assert_fault(p, 49, 51, 1, "no water named");
  assert_holds(p->f.err.message, "400 faults, nothing was written");
  lw_text_free(&text);
}

/* Pieces of cells in messages stay whole characters, for the JSON that carries them. */
static void messages_are_clean_text(void **state)
{
  place *p = *state;
  lw_text text = LW_TEXT(4096);
  for (int shift = 0; shift < 3; shift++) {
    lw_text_clear(&text);
    lw_text_addf(&text, "water,date,secchi (in)\nUpper Sedge,2026-04-01,%.*s", shift, "zzz");
    for (int i = 0; i < 200; i++) {
      lw_text_add(&text, "\xE2\x82\xAC");
    }
    lw_text_add(&text, "\n");
    assert_int_equal(import(p, R, lw_text_view(&text)), LW_INVALID);
    const char *message = p->report.faults.items[0].message;
    assert_true(lw_text_is_clean(message, strlen(message)));
    assert_true(lw_text_is_clean(p->f.err.message, strlen(p->f.err.message)));
  }
  lw_text_free(&text);
}

static void what_is_not_the_tables_fault(void **state)
{
  place *p = *state;
  const lw_import_options none = {0};
  assert_refused(&p->f, lw_import_csv(&p->report, &p->desk, R, "/nowhere/sheet.csv", &none, &p->f.err),
                 LW_NOT_FOUND, "/nowhere/sheet.csv");
  assert_int_equal(p->report.faults.count, 0);
  assert_refused(&p->f, import(p, "ponds", "a\n"), LW_INVALID, "it must be one of readings, treatments");
  assert_refused(&p->f, import_with(p, R, WIDE_HEAD, (lw_import_options){.water = "Uper Sedge"}),
                 LW_NOT_FOUND, "did you mean 'Upper Sedge'");
  assert_refused(&p->f,
                 import_with(p, M, "name,form\nA,ground\n", (lw_import_options){.water = "Upper Sedge"}),
                 LW_INVALID, "leave out --water");
  assert_int_equal(import_with(p, R, WIDE_HEAD, (lw_import_options){.water = "Upper Sedge"}), LW_INVALID);
  assert_fault(p, 0, 1, 1, "leave out --water");
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      import_test(headers_are_refused),
      import_test(rows_are_refused),
      import_test(one_bad_row_keeps_all_out),
      import_test(columns_count_characters),
      import_test(faults_of_the_store_find_their_cell),
      import_test(fifty_faults_are_listed_and_all_counted),
      import_test(messages_are_clean_text),
      import_test(what_is_not_the_tables_fault),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
