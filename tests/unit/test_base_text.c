/* SPDX-License-Identifier: Apache-2.0 */
/* Text buffers with a maximum, UTF-8, and numbers from and to text. */
#include "check.h"

#include "base/text.h"
#include "base/utf8.h"

#include <float.h>
#include <stdlib.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* ---- the buffer ---- */

static void collects_pieces(void **state)
{
  (void)state;
  lw_text text = LW_TEXT(1000);
  assert_string_equal(lw_text_view(&text), "");
  lw_text_add(&text, "12");
  lw_text_add_n(&text, " acres and more", 6);
  lw_text_addf(&text, ", %d of %s", 3, "five");
  assert_string_equal(lw_text_view(&text), "12 acres, 3 of five");
  assert_int_equal(text.length, strlen("12 acres, 3 of five"));
  lw_text_clear(&text);
  assert_string_equal(lw_text_view(&text), "");
  assert_int_equal(text.length, 0);
  lw_text_add_n(&text, "a\0b", 3);
  assert_int_equal(text.length, 3);
  assert_memory_equal(text.data, "a\0b", 4);
  lw_text_free(&text);
  lw_text_add(&text, "again");
  assert_string_equal(lw_text_view(&text), "again");
  lw_text_free(&text);
}

static void grows_over_many_sizes(void **state)
{
  (void)state;
  lw_text text = LW_TEXT(1 << 20);
  for (int i = 0; i < 20000; i++) {
    lw_text_addf(&text, "%05d,", i);
  }
  assert_false(text.failed);
  assert_int_equal(text.length, 20000 * 6);
  for (int i = 0; i < 20000; i += 997) {
    assert_int_equal(strtol(lw_text_view(&text) + 6 * (size_t)i, NULL, 10), i);
  }
  lw_text_free(&text);
}

static void keeps_to_its_maximum(void **state)
{
  (void)state;
  lw_text text = LW_TEXT(5);
  lw_text_add(&text, "12345");
  assert_false(text.failed);
  lw_text_add(&text, "");
  assert_false(text.failed);
  lw_text_add(&text, "6");
  assert_true(text.failed);
  assert_string_equal(lw_text_view(&text), "12345");
  lw_text_clear(&text);
  assert_false(text.failed);
  lw_text_addf(&text, "%d", 123456);
  assert_true(text.failed);
  lw_text_add(&text, "1"); /* a failure stays, or half a text would look like a whole one */
  assert_true(text.failed);
  assert_string_equal(lw_text_view(&text), "");
  assert_null(lw_text_take(&text));
  assert_null(text.data);
  lw_text_add_n(&text, "x", SIZE_MAX); /* never read: refused by its size */
  assert_true(text.failed);
  lw_text_free(&text);
}

static void hands_its_text_over(void **state)
{
  (void)state;
  lw_text text = LW_TEXT(100);
  char *empty = lw_text_take(&text);
  assert_string_equal(empty, "");
  free(empty);
  lw_text_add(&text, "one");
  char *one = lw_text_take(&text);
  lw_text_add(&text, "two");
  assert_string_equal(one, "one");
  assert_string_equal(lw_text_view(&text), "two");
  free(one);
  lw_text_free(&text);
}

static void compares_words(void **state)
{
  (void)state;
  assert_true(lw_same_word("Secchi", "sECCHI"));
  assert_false(lw_same_word("secchi", "secchi "));
  assert_false(lw_same_word("", "a"));
  assert_true(lw_starts_with("acre-ft", "acre"));
  assert_true(lw_starts_with("acre", ""));
  assert_false(lw_starts_with("acre", "acre-ft"));
  assert_false(lw_starts_with("Acre", "acre"));
}

/* ---- UTF-8 ---- */

/* RFC 3629, section 4: the table of well-formed sequences, its first and last of each row. */
static void accepts_well_formed_utf8(void **state)
{
  (void)state;
  static const char *const clean[] = {"",
                                      "plain",
                                      "tab\tand\nline",
                                      " ~",
                                      "\xc2\xa0",
                                      "\xdf\xbf",
                                      "\xe0\xa0\x80",
                                      "\xe0\xbf\xbf",
                                      "\xe1\x80\x80",
                                      "\xec\xbf\xbf",
                                      "\xed\x80\x80",
                                      "\xed\x9f\xbf",
                                      "\xee\x80\x80",
                                      "\xef\xbf\xbf",
                                      "\xf0\x90\x80\x80",
                                      "\xf0\xbf\xbf\xbf",
                                      "\xf1\x80\x80\x80",
                                      "\xf3\xbf\xbf\xbf",
                                      "\xf4\x80\x80\x80",
                                      "\xf4\x8f\xbf\xbf",
                                      "caf\xc3\xa9 5 m\xc2\xb2 \xe2\x80\x94 \xf0\x9f\x90\x9f"};
  for (size_t i = 0; i < COUNT(clean); i++) {
    if (!lw_text_is_clean(clean[i], strlen(clean[i]))) {
      print_error("refused text %zu\n", i);
      fail();
    }
  }
}

static void refuses_malformed_utf8_and_controls(void **state)
{
  (void)state;
  static const char *const unclean[] = {"\x80",
                                        "\xbf",
                                        "\xc0\x80",
                                        "\xc1\xbf",
                                        "\xc2",
                                        "\xc2\x7f",
                                        "\xc2\xc0",
                                        "\xe0\x80\x80",
                                        "\xe0\x9f\xbf",
                                        "\xe1\x80",
                                        "\xe1\x80\x7f",
                                        "\xed\xa0\x80",
                                        "\xed\xbf\xbf",
                                        "\xf0\x80\x80\x80",
                                        "\xf0\x8f\xbf\xbf",
                                        "\xf0\x90\x80",
                                        "\xf4\x90\x80\x80",
                                        "\xf5\x80\x80\x80",
                                        "\xf8\x88\x80\x80\x80",
                                        "\xfe",
                                        "\xff",
                                        "\x01",
                                        "a\rb",
                                        "\x1b[2J",
                                        "\x7f",
                                        "\xc2\x80",
                                        "\xc2\x9b[2J",
                                        "\xc2\x9f",
                                        "good then \xe2\x82"};
  for (size_t i = 0; i < COUNT(unclean); i++) {
    if (lw_text_is_clean(unclean[i], strlen(unclean[i]))) {
      print_error("accepted text %zu\n", i);
      fail();
    }
  }
  assert_false(lw_text_is_clean("a\0b", 3));
  assert_false(lw_text_is_clean("\xe2\x82\xac", 2)); /* the length cuts it off */
  assert_true(lw_text_is_clean("a\x80", 1));
}

/* Every pair of bytes: the second row of the RFC's table, and nothing else. */
static void measures_every_two_bytes(void **state)
{
  (void)state;
  for (unsigned a = 0; a < 256; a++) {
    for (unsigned b = 0; b < 256; b++) {
      const char text[2] = {(char)a, (char)b};
      size_t want = a < 0x80 ? 1 : (a >= 0xC2 && a <= 0xDF && b >= 0x80 && b <= 0xBF) ? 2 : 0;
      assert_int_equal(lw_utf8_length(text, 2), want);
    }
  }
}

/* ---- numbers from text ---- */

typedef struct number_case {
  const char *text;
  bool commas;
  double value;
  const char *rest;
} number_case;

static void reads_numbers(void **state)
{
  (void)state;
  static const number_case cases[] = {{"12", false, 12, ""},
                                      {"0", false, 0, ""},
                                      {"+7", false, 7, ""},
                                      {"-3.5e2", false, -350, ""},
                                      {".5", false, 0.5, ""},
                                      {"5.", false, 5, ""},
                                      {"1e3 lb", false, 1000, " lb"},
                                      {"2E-3", false, 0.002, ""},
                                      {"1e", false, 1, "e"},
                                      {"1e+", false, 1, "e+"},
                                      {"0x10", false, 0, "x10"},
                                      {"12abc", false, 12, "abc"},
                                      {"1/2", false, 0.5, ""},
                                      {"5 1/2", false, 5.5, ""},
                                      {"-5 1/4 in", false, -5.25, " in"},
                                      {"3/4\"", false, 0.75, "\""},
                                      {"1/0", false, 1, "/0"},
                                      {"5 1/0", false, 5, " 1/0"},
                                      {"1/2/3", false, 0.5, "/3"},
                                      {"5 6", false, 5, " 6"},
                                      {"1/ 2", false, 1, "/ 2"},
                                      {"1/-2", false, 1, "/-2"},
                                      {"5  1/2", false, 5, "  1/2"},
                                      {"1,200", true, 1200, ""},
                                      {"1,234,567.25", true, 1234567.25, ""},
                                      {"12,345 lb", true, 12345, " lb"},
                                      {"-1,200", true, -1200, ""},
                                      {"1,200", false, 1, ",200"},
                                      {"1,20", true, 1, ",20"},
                                      {"1,2000", true, 1, ",2000"},
                                      {"1,200,30", true, 1200, ",30"},
                                      {"1234,567", true, 1234, ",567"},
                                      {"0,200", true, 0, ",200"},
                                      {"000,200", true, 0, ",200"},
                                      {"1,200.", true, 1200, ""},
                                      {"1,200.5e3", true, 1200.5, "e3"},
                                      {"5 1/2", true, 5.5, ""},
                                      {"1e308", false, 1e308, ""},
                                      {"1.7976931348623157e308", false, DBL_MAX, ""},
                                      {"1e-400", false, 0, ""}};
  for (size_t i = 0; i < COUNT(cases); i++) {
    const number_case *c = &cases[i];
    double got = NAN;
    const char *end = NULL;
    if (!lw_read_number(c->text, c->commas, &got, &end) || got != c->value || strcmp(end, c->rest) != 0) {
      print_error("'%s': got %.17g, left '%s'\n", c->text, got, end ? end : "(nothing read)");
      fail();
    }
  }
}

static void refuses_what_is_no_number(void **state)
{
  (void)state;
  static const char *const cases[] = {"",
                                      " 1",
                                      "-",
                                      "+",
                                      "--1",
                                      "+-1",
                                      ".",
                                      "-.",
                                      "e5",
                                      ",200",
                                      "inf",
                                      "-inf",
                                      "nan",
                                      "NAN",
                                      "infinity",
                                      "abc",
                                      "/2",
                                      "1e309",
                                      "-1e400",
                                      "1/1e-320",
                                      "1e308/1e-10",
                                      "\xc2\xbd",
                                      "1234567890123456789012345678901234567890123456789012345678901234"};
  for (size_t i = 0; i < COUNT(cases); i++) {
    double got = -77;
    const char *end = NULL;
    for (int commas = 0; commas < 2; commas++) {
      if (lw_read_number(cases[i], commas, &got, &end) || !isfinite(got)) {
        print_error("'%s' was read as %.17g\n", cases[i], got);
        fail();
      }
    }
  }
}

/* ---- numbers to text ---- */

static void writes_the_shortest_number(void **state)
{
  (void)state;
  static const struct {
    double value;
    const char *text;
  } cases[] = {{0, "0"},
               {0.1, "0.1"},
               {4046.8564224, "4046.8564224"},
               {1.0 / 3, "0.3333333333333333"},
               {2.0 / 3, "0.6666666666666666"},
               {100, "100"},
               {-2.5, "-2.5"},
               {1e22, "1e+22"},
               {1e-7, "1e-07"},
               {0.1 + 0.2, "0.30000000000000004"},
               {9007199254740993.0, "9007199254740992"}};
  static const double extremes[] = {DBL_MAX, -DBL_MAX, DBL_MIN, DBL_TRUE_MIN, 0x1p-44, 0x1.fffffffffffffp52};
  char out[LW_NUMBER_MAX];
  for (size_t i = 0; i < COUNT(cases); i++) {
    assert_string_equal(lw_number_text(cases[i].value, out), cases[i].text);
  }
  for (size_t i = 0; i < COUNT(extremes); i++) {
    assert_true(strtod(lw_number_text(extremes[i], out), NULL) == extremes[i]);
  }
}

static void rounds_as_people_do(void **state)
{
  (void)state;
  static const struct {
    double value;
    int digits;
    const char *text;
  } cases[] = {{41.2, 2, "41"},          {0.25, 2, "0.25"},
               {12345, 3, "12300"},      {0, 3, "0"},
               {-0.0, 3, "0"},           {-0.0004, 1, "-0.0004"},
               {9.99, 2, "10"},          {99.96, 3, "100"},
               {0.0996, 2, "0.1"},       {1250, 4, "1250"},
               {1250, 2, "1300"},        {999.9999999999999, 3, "1000"},
               {1000000, 1, "1000000"},  {0.000123456, 3, "0.000123"},
               {-12.345, 3, "-12.3"},    {3.0, 5, "3"},
               {2.50, 3, "2.5"},         {123456789, 9, "123456789"},
               {1e-9, 2, "0.000000001"}, {123456789012345.0, 15, "123456789012345"}};
  char out[LW_NUMBER_MAX];
  for (size_t i = 0; i < COUNT(cases); i++) {
    if (strcmp(lw_rounded_text(cases[i].value, cases[i].digits, out), cases[i].text) != 0) {
      print_error("%.17g to %d digits: got '%s', want '%s'\n", cases[i].value, cases[i].digits, out,
                  cases[i].text);
      fail();
    }
  }
}

/* Above and below the sizes people write an exponent stands, and nothing overflows the buffer. */
static void rounds_any_size_of_number(void **state)
{
  (void)state;
  for (int exponent = -320; exponent <= 308; exponent++) {
    for (int digits = 1; digits <= 17; digits++) {
      double value = -1.3333333333333333 * pow(10, exponent);
      char out[LW_NUMBER_MAX];
      assert_true(strlen(lw_rounded_text(value, digits, out)) < LW_NUMBER_MAX);
      assert_close(strtod(out, NULL), value, 0.51 * pow(10, 1 - digits) * fabs(value) + 1e-323);
    }
  }
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(collects_pieces),
      cmocka_unit_test(grows_over_many_sizes),
      cmocka_unit_test(keeps_to_its_maximum),
      cmocka_unit_test(hands_its_text_over),
      cmocka_unit_test(compares_words),
      cmocka_unit_test(accepts_well_formed_utf8),
      cmocka_unit_test(refuses_malformed_utf8_and_controls),
      cmocka_unit_test(measures_every_two_bytes),
      cmocka_unit_test(reads_numbers),
      cmocka_unit_test(refuses_what_is_no_number),
      cmocka_unit_test(writes_the_shortest_number),
      cmocka_unit_test(rounds_as_people_do),
      cmocka_unit_test(rounds_any_size_of_number),
  };
  return cmocka_run_group_tests_name("base text", tests, NULL, NULL);
}
