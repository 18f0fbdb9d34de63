/* SPDX-License-Identifier: Apache-2.0 */
/* NMEA 0183 logs. The sentences marked "published" are the public examples of the standard: DPT of NOAA NCEI
 * (format-dpt.txt, accession 0086548), GGA, RMC and GLL of D. DePriest's "NMEA data" and of the receivers'
 * descriptions that print the second pair, ZDA of gpsd's "NMEA Revealed". */
#include "soundings_check.h"

#include "base/text.h"
#include "exchange/nmea.h"

#include <stdlib.h>

#define GGA_PUBLISHED "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47"
#define RMC_PUBLISHED "$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A"
#define GLL_PUBLISHED "$GPGLL,4916.45,N,12311.12,W,225444,A,*1D"
#define GGA_SOUTH "$GPGGA,092204.999,4250.5589,S,14718.5084,E,1,04,24.4,19.7,M,,,,0000*1F"
#define GLL_SOUTH "$GPGLL,4250.5589,S,14718.5084,E,092204.999,A*2D"
#define ZDA_PUBLISHED "$GPZDA,201530.00,04,07,2002,00,00*60"
#define DPT_PUBLISHED "$SDDPT,0006.29,002.40*6C"

/* --- single sentences --- */

static lw_sentence sentence(const char *text)
{
  lw_sentence s;
  const char *at = text;
  assert_int_equal(lw_sentence_next(&at, text + strlen(text), &s), LW_SENTENCE_GOOD);
  return s;
}

static lw_nmea_fix position(const char *text)
{
  lw_nmea_fix fix;
  lw_sentence s = sentence(text);
  assert_true(s.checked);
  assert_int_equal(lw_nmea_position(&s, &fix), LW_NMEA_YES);
  return fix;
}

static void published_positions(void **in)
{
  (void)in;
  lw_nmea_fix fix = position(GGA_PUBLISHED);
  assert_close(fix.latitude, 48 + 7.038 / 60, 1e-12);
  assert_close(fix.longitude, 11 + 31.0 / 60, 1e-12);
  assert_close(fix.time_s, 12 * 3600 + 35 * 60 + 19, 0);
  assert_int_equal(fix.day, LW_NO_DAY);
  fix = position(RMC_PUBLISHED);
  assert_close(fix.latitude, 48 + 7.038 / 60, 1e-12);
  assert_close(fix.longitude, 11 + 31.0 / 60, 1e-12);
  assert_int_equal(fix.day, lw_day_from_civil((lw_civil){1994, 3, 23}));
  fix = position(GLL_PUBLISHED);
  assert_close(fix.latitude, 49 + 16.45 / 60, 1e-12);
  assert_close(fix.longitude, -(123 + 11.12 / 60), 1e-12);
  assert_close(fix.time_s, 22 * 3600 + 54 * 60 + 44, 0);
  fix = position(GGA_SOUTH);
  assert_close(fix.latitude, -(42 + 50.5589 / 60), 1e-12);
  assert_close(fix.longitude, 147 + 18.5084 / 60, 1e-12);
  assert_close(fix.time_s, 9 * 3600 + 22 * 60 + 4.999, 1e-9);
  fix = position(GLL_SOUTH);
  assert_close(fix.latitude, -(42 + 50.5589 / 60), 1e-12);
}

static void a_published_date(void **in)
{
  (void)in;
  lw_nmea_fix fix;
  lw_sentence s = sentence(ZDA_PUBLISHED);
  assert_int_equal(lw_nmea_date(&s, &fix), LW_NMEA_YES);
  assert_int_equal(fix.day, lw_day_from_civil((lw_civil){2002, 7, 4}));
  assert_close(fix.time_s, 20 * 3600 + 15 * 60 + 30, 0);
}

static lw_nmea_answer depth_of(const char *text, lw_nmea_depth *out)
{
  lw_sentence s = sentence(text);
  return lw_nmea_depth_of(&s, out);
}

/* 6.29 m under the transducer, which hangs 2.40 m below the waterline. */
static void a_published_depth(void **in)
{
  (void)in;
  lw_nmea_depth depth;
  assert_int_equal(depth_of(DPT_PUBLISHED, &depth), LW_NMEA_YES);
  assert_close(depth.depth_m, 6.29, 1e-12);
  assert_close(depth.offset_m, 2.40, 1e-12);
  assert_false(depth.from_surface);
}

static void depths_of_all_kinds(void **in)
{
  (void)in;
  lw_nmea_depth depth;
  assert_int_equal(depth_of("$SDDPT,3.5,-0.4", &depth), LW_NMEA_YES); /* to the keel: not added */
  assert_close(depth.depth_m, 3.5, 1e-12);
  assert_close(depth.offset_m, 0, 0);
  assert_int_equal(depth_of("$SDDPT,3.5,,100.0", &depth), LW_NMEA_YES);
  assert_int_equal(depth_of("$SDDPT,,0.4", &depth), LW_NMEA_EMPTY);
  assert_int_equal(depth_of("$SDDPT,x,0.4", &depth), LW_NMEA_BAD);
  assert_int_equal(depth_of("$SDDPT,-3,0.4", &depth), LW_NMEA_BAD);
  assert_int_equal(depth_of("$SDDBT,25.0,f,7.6,M,4.2,F", &depth), LW_NMEA_YES);
  assert_close(depth.depth_m, 7.6, 1e-12);
  assert_int_equal(depth_of("$SDDBT,25.0,f,,M,,F", &depth), LW_NMEA_YES);
  assert_close(depth.depth_m, 7.62, 1e-12);
  assert_int_equal(depth_of("$SDDBT,,f,,M,4.0,F", &depth), LW_NMEA_YES);
  assert_close(depth.depth_m, 7.3152, 1e-12);
  assert_int_equal(depth_of("$SDDBT,,f,,M,,F", &depth), LW_NMEA_EMPTY);
  assert_int_equal(depth_of("$SDDBT,25.0,f,25.0,M,4.2,F", &depth),
                   LW_NMEA_BAD); /* they contradict each other */
  assert_int_equal(depth_of("$SDDBT,25.0,M,7.6,f,4.2,F", &depth), LW_NMEA_BAD);
  assert_int_equal(depth_of("$SDDBS,,f,22.5,M,,F", &depth), LW_NMEA_YES);
  assert_true(depth.from_surface);
  assert_int_equal(depth_of("$SDDBK,1,f,0.3,M,,F", &depth), LW_NMEA_NO);
}

static void no_fix_is_no_position(void **in)
{
  static const char *const without[] = {
      "$GPGGA,123519,4807.038,N,01131.000,E,0,08,0.9,545.4,M,46.9,M,,",
      "$GPGGA,123519,4807.038,N,01131.000,E,8,08,0.9,545.4,M,46.9,M,,", /* simulated */
      "$GPGGA,123519,,,,,0,00,,,M,,M,,",
      "$GPRMC,123519,V,4807.038,N,01131.000,E,,,230394,,",
      "$GPRMC,123519,A,4807.038,N,01131.000,E,,,230394,,,N",
      "$GPGLL,4916.45,N,12311.12,W,225444,V",
      "$GPGGA,123519,0000.000,N,00000.000,E,1,08,,,M,,M,,",
  };
  (void)in;
  for (size_t i = 0; i < sizeof without / sizeof *without; i++) {
    lw_nmea_fix fix;
    lw_sentence s = sentence(without[i]);
    assert_int_equal(lw_nmea_position(&s, &fix), LW_NMEA_EMPTY);
  }
}

static void fields_that_cannot_be(void **in)
{
  static const char *const bad[] = {
      "$GPGGA,243519,4807.038,N,01131.000,E,1,08,,,M,,M,,",
      "$GPGGA,1235,4807.038,N,01131.000,E,1,08,,,M,,M,,",
      "$GPGGA,123519,4867.038,N,01131.000,E,1,08,,,M,,M,,",
      "$GPGGA,123519,4807.038,X,01131.000,E,1,08,,,M,,M,,",
      "$GPGGA,123519,9107.038,N,01131.000,E,1,08,,,M,,M,,",
      "$GPGGA,123519,4807.038,N,18131.000,E,1,08,,,M,,M,,",
      "$GPGGA,123519,48x7.038,N,01131.000,E,1,08,,,M,,M,,",
      "$GPRMC,123519,A,4807.038,N,01131.000,E,,,310294,,",
      "$GPRMC,123519,A,4807.038,N,01131.000,,,,230394,,",
      "$GPGGA,12351x,4807.038,N,01131.000,E,1,08,,,M,,M,,",
  };
  (void)in;
  for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
    lw_nmea_fix fix;
    lw_sentence s = sentence(bad[i]);
    assert_int_equal(lw_nmea_position(&s, &fix), LW_NMEA_BAD);
  }
}

static void sentences_that_are_none(void **in)
{
  static const struct {
    const char *text;
    lw_sentence_state state;
  } cases[] = {{"$SDDPT,0006.29,002.40*6D", LW_SENTENCE_CHECKSUM},
               {"$SDDPT,0006.29,002.40*6", LW_SENTENCE_BROKEN},
               {"$SDDPT,0006.29,002.40*", LW_SENTENCE_BROKEN},
               {"$SDDPT,0006.29,002.40*6Cx", LW_SENTENCE_BROKEN},
               {"$SDDP", LW_SENTENCE_BROKEN},
               {"$", LW_SENTENCE_BROKEN},
               {"$SDDPT", LW_SENTENCE_BROKEN},
               {"$sddpt,1,2", LW_SENTENCE_BROKEN},
               {"$SDDPT,\x01,2", LW_SENTENCE_BROKEN},
               {"$PABC,1,2", LW_SENTENCE_OTHER},
               {"nothing", LW_SENTENCE_NONE},
               {"", LW_SENTENCE_NONE}};
  (void)in;
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    lw_sentence s;
    const char *at = cases[i].text;
    assert_int_equal(lw_sentence_next(&at, at + strlen(at), &s), cases[i].state);
  }
}

/* --- logs --- */

/* A sentence with its checksum and line end. */
static void say(lw_text *log, const char *body)
{
  unsigned sum = 0;
  for (const char *at = body; *at; at++) {
    sum ^= (unsigned char)*at;
  }
  lw_text_addf(log, "$%s*%02X\r\n", body, sum);
}

/* A boat that goes north from 33 12.000' N, 84 06.000' W, 0.001' (1.85 m) a second. */
static void say_gga(lw_text *log, void **in, int second_of_day, double seconds_gone)
{
  say(log, lw_arena_format(*in, "GPGGA,%02d%02d%02d.00,33%07.4f,N,08406.0000,W,1,09,0.9,100.0,M,-30.0,M,,",
                           second_of_day / 3600, second_of_day / 60 % 60, second_of_day % 60,
                           12 + 0.001 * seconds_gone));
}

static void say_rmc(lw_text *log, void **in, int second_of_day, double seconds_gone, const char *date)
{
  say(log, lw_arena_format(*in, "GPRMC,%02d%02d%02d.00,A,33%07.4f,N,08406.0000,W,3.6,0.0,%s,,,A",
                           second_of_day / 3600, second_of_day / 60 % 60, second_of_day % 60,
                           12 + 0.001 * seconds_gone, date));
}

static lw_fixes accept_log(void **in, lw_text *log, const lw_soundings_how *how)
{
  assert_false(log->failed);
  lw_fixes got = accept_as(in, "run.nmea", lw_text_view(log), how);
  lw_text_free(log);
  return got;
}

static double latitude_after(double seconds)
{
  return 33 + (12 + 0.001 * seconds) / 60;
}

/* One depth between two positions lies in their middle; four lie at fifths. */
static void depths_lie_between_positions(void **in)
{
  lw_text log = LW_TEXT(1 << 20);
  for (int s = 0; s < 4; s++) {
    say_gga(&log, in, 36000 + s, s);
    say_rmc(&log, in, 36000 + s, s, "150426");
    for (int k = 0; k < (s == 1 ? 4 : 1); k++) {
      say(&log, lw_arena_format(*in, "SDDPT,%d.%d,0.3", s + 1, k));
    }
  }
  lw_fixes got = accept_log(in, &log, NULL);
  assert_string_equal(got.format, "NMEA 0183");
  assert_int_equal(got.count, 6);
  assert_int_equal(got.without_position, 1); /* after the last position */
  assert_close(got.fixes[0].latitude, latitude_after(0.5), 1e-11);
  assert_close(got.fixes[0].longitude, -84.1, 1e-11);
  assert_close(got.fixes[0].depth_m, 1.3, 1e-12);
  assert_close(got.fixes[0].time_s, 1776211200.0 + 36000.5, 1e-6);
  assert_int_equal(got.fixes[0].line, 3);
  for (int k = 0; k < 4; k++) {
    assert_close(got.fixes[1 + k].latitude, latitude_after(1 + 0.2 * (k + 1)), 1e-11);
    assert_close(got.fixes[1 + k].depth_m, 2.3 + 0.1 * k, 1e-12);
    assert_close(got.fixes[1 + k].time_s, 1776211200.0 + 36001 + 0.2 * (k + 1), 1e-6);
  }
  assert_true(got.offset_known);
  assert_close(got.offset_m, 0.3, 1e-12);
  assert_true(got.has_time);
  assert_int_equal(got.day, lw_day_from_civil((lw_civil){2026, 4, 15}));
}

#define TRACK_M_S 3.0
#define METRES_A_MINUTE 1852.0

/* A burst a second in the order "G" (GGA), "R" (RMC), "D" (DPT), of a boat that goes north at 3 m/s; the
 * depth written in second s is s + 1 m, so that each sounding tells which burst it came from. */
static lw_fixes straight_track(void **in, const char *order, int seconds)
{
  lw_text log = LW_TEXT(1 << 20);
  double gone = TRACK_M_S / METRES_A_MINUTE / 0.001; /* in the steps of say_gga */
  for (int s = 0; s < seconds; s++) {
    for (const char *c = order; *c; c++) {
      if (*c == 'G') {
        say_gga(&log, in, 36000 + s, s * gone);
      } else if (*c == 'R') {
        say_rmc(&log, in, 36000 + s, s * gone, "150426");
      } else {
        say(&log, lw_arena_format(*in, "SDDPT,%d.0,0.0", s + 1));
      }
    }
  }
  return accept_log(in, &log, NULL);
}

/* Among the sentences of second s the depth is at s. Outside of them nothing tells whether it belongs to the
 * burst before or after: the middle between both, so that it is never further off than half a second's way.
 */
static void the_usual_orders_of_a_burst(void **in)
{
  static const struct {
    const char *order;
    double shift_s;
    size_t count;
  } cases[] = {{"GDR", 0, 20}, {"DGR", -0.5, 19}, {"GRD", 0.5, 19}, {"GDDR", 0, 40}, {"GDRG", 0, 20}};
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    lw_fixes got = straight_track(in, cases[i].order, 20);
    assert_int_equal(got.count, cases[i].count);
    for (size_t k = 0; k < got.count; k++) {
      double at_s = got.fixes[k].depth_m - 1 + cases[i].shift_s;
      double north_m = ((got.fixes[k].latitude - 33) * 60 - 12) * METRES_A_MINUTE;
      assert_close(north_m, TRACK_M_S * at_s, 0.35);
      assert_close(got.fixes[k].time_s, 1776211200.0 + 36000 + at_s, 1e-6);
    }
  }
}

/* In the burst before a gap, and in the last one of the log, no later position is needed. */
static void a_burst_needs_no_position_behind_it(void **in)
{
  lw_text log = LW_TEXT(1 << 20);
  static const int seconds[] = {0, 60};
  for (size_t i = 0; i < 2; i++) {
    say_gga(&log, in, 36000 + seconds[i], seconds[i]);
    say(&log, "SDDPT,2.0,0.0");
    say_rmc(&log, in, 36000 + seconds[i], seconds[i], "150426");
    say(&log, "SDDPT,2.0,0.0");
  }
  lw_fixes got = accept_log(in, &log, NULL);
  assert_int_equal(got.count, 2);
  assert_int_equal(got.without_position, 2);
  assert_close(got.fixes[0].latitude, latitude_after(0), 1e-11);
  assert_close(got.fixes[1].latitude, latitude_after(60), 1e-11);
}

static void one_ping_in_three_sentences_counts_once(void **in)
{
  static const struct {
    const char *first, *second, *third;
    double depth_m, offset_m;
    bool known;
  } cases[] = {
      {"SDDBT,9.8,f,3.0,M,1.6,F", "SDDPT,3.0,0.5", "SDDBS,11.5,f,3.5,M,1.9,F", 3.5, 0.5, true},
      {"SDDBT,9.8,f,3.0,M,1.6,F", "SDDBS,11.5,f,3.5,M,1.9,F", "SDMTW,20.0,C", 3.5, 0, true},
      {"SDDBT,9.8,f,3.0,M,1.6,F", "IIDBT,9.8,f,3.0,M,1.6,F", "SDDBK,8.0,f,2.4,M,1.3,F", 3.0, 0, false},
      {"SDDPT,3.0,0.0", "IIDPT,3.0,0.0", "IIVHW,,T,,M,3.0,N,5.6,K", 3.0, 0, false}};
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    lw_text log = LW_TEXT(1 << 20);
    for (int s = 0; s < 10; s++) {
      say_rmc(&log, in, 36000 + s, s, "150426");
      say(&log, cases[i].first);
      say(&log, cases[i].second);
      say(&log, cases[i].third);
    }
    lw_fixes got = accept_log(in, &log, NULL);
    assert_int_equal(got.count, 9);
    assert_close(got.fixes[4].depth_m, cases[i].depth_m, 1e-12);
    assert_close(got.fixes[4].latitude, latitude_after(4.5), 1e-11);
    assert_int_equal(got.offset_known, cases[i].known);
    assert_close(got.offset_m, cases[i].offset_m, 1e-12);
  }
}

/* No position is made up where the receiver was silent for longer than five seconds. */
static void gaps_are_not_bridged(void **in)
{
  lw_text log = LW_TEXT(1 << 20);
  static const int seconds[] = {0, 1, 6, 7, 13, 14};
  for (size_t i = 0; i < sizeof seconds / sizeof *seconds; i++) {
    say_gga(&log, in, 36000 + seconds[i], seconds[i]);
    say(&log, "SDDPT,2.0,");
  }
  lw_soundings_how how = {.day = lw_day_from_civil((lw_civil){2026, 4, 15})};
  lw_fixes got = accept_log(in, &log, &how);
  assert_int_equal(got.count, 4); /* 0-1, 1-6 (just five), 6-7, 13-14 */
  assert_int_equal(got.without_position, 2);
  assert_close(got.fixes[1].latitude, latitude_after(3.5), 1e-11);
  assert_close(got.fixes[3].latitude, latitude_after(13.5), 1e-11);
  assert_close(got.fixes[3].time_s, 1776211200.0 + 36013.5, 1e-6); /* the day was told */
}

static void jumps_are_not_bridged(void **in)
{
  lw_text log = LW_TEXT(1 << 20);
  static const int places[] = {0, 1, 5000, 2, 3};
  for (int i = 0; i < 5; i++) {
    say_gga(&log, in, 36000 + i, places[i]);
    say(&log, "SDDPT,2.0,");
  }
  lw_fixes got = accept_log(in, &log, NULL);
  assert_int_equal(got.count, 2);
  assert_int_equal(got.without_position, 3);
}

static void midnight_passes(void **in)
{
  lw_text log = LW_TEXT(1 << 20);
  say_gga(&log, in, 86397, 0); /* before the first date: dated by it afterwards */
  say(&log, "SDDPT,1.0,");
  say_gga(&log, in, 86398, 1);
  say_rmc(&log, in, 86398, 1, "311225");
  say(&log, "SDDPT,2.0,");
  say_gga(&log, in, 86399, 2);
  say(&log, "SDDPT,3.0,");
  say_gga(&log, in, 0, 3); /* no RMC in this second */
  say(&log, "SDDPT,4.0,");
  say_gga(&log, in, 1, 4);
  say_rmc(&log, in, 1, 4, "010126");
  say(&log, "SDDPT,5.0,");
  say_gga(&log, in, 2, 5);
  lw_fixes got = accept_log(in, &log, NULL);
  assert_int_equal(got.count, 5);
  double new_year_s = lw_day_from_civil((lw_civil){2026, 1, 1}) * 86400.0;
  for (int i = 0; i < 5; i++) {
    assert_close(got.fixes[i].depth_m, i + 1, 1e-12);
    assert_close(got.fixes[i].time_s, new_year_s - 3 + i + 0.5, 1e-6);
  }
  assert_int_equal(got.day, lw_day_from_civil((lw_civil){2025, 12, 31}));
}

static void midnight_passes_without_a_date(void **in)
{
  lw_text log = LW_TEXT(1 << 20);
  for (int i = 0; i < 6; i++) {
    say_gga(&log, in, (86397 + i) % 86400, i);
    say(&log, "SDDPT,1.0,");
  }
  const char *copy = lw_arena_copy(*in, lw_text_view(&log));
  lw_soundings_how how = {.day = lw_day_from_civil((lw_civil){2026, 4, 15})};
  lw_fixes got = accept_log(in, &log, &how);
  assert_int_equal(got.count, 5);
  assert_close(got.fixes[4].time_s, 1776211200.0 + 86401.5, 1e-6);
  got = accept_as(in, "run.nmea", copy, NULL);
  assert_int_equal(got.count, 5);
  assert_false(got.has_time);
  assert_true(isnan(got.fixes[0].time_s));
  assert_int_equal(got.day, LW_NO_DAY);
}

static void a_date_by_zda(void **in)
{
  lw_text log = LW_TEXT(1 << 20);
  for (int i = 0; i < 3; i++) {
    say(&log, lw_arena_format(*in, "GPZDA,2015%02d.00,04,07,2002,00,00", 30 + i));
    say_gga(&log, in, 20 * 3600 + 15 * 60 + 30 + i, i);
    say(&log, "SDDPT,2.0,");
  }
  lw_fixes got = accept_log(in, &log, NULL);
  assert_int_equal(got.count, 2);
  assert_int_equal(got.day, lw_day_from_civil((lw_civil){2002, 7, 4}));
}

/* Bad sentences are counted and left out; the rest is used. */
static void bad_sentences_are_counted(void **in)
{
  lw_text log = LW_TEXT(1 << 20);
  for (int s = 0; s < 6; s++) {
    say_rmc(&log, in, 36000 + s, s, "150426");
    say(&log, "SDDPT,2.0,0.0");
  }
  lw_text_add(&log, "$SDDPT,9.0,0.0*00\r\n"); /* damaged on the wire */
  lw_text_add(&log, "$SDDPT,9.0,0.0\r\n");    /* its kind has checksums: cut */
  lw_text_add(&log,
              "$GPRMC,1000$SDDPT,\x7F*55\r\nrecorder restarted\r\n"); /* two in one line, and a remark */
  lw_text_add(&log, "!AIVDM,1,1,,A,13aEOK?P00PD2wVMdLDRhgvL289?,0*26\r\n");
  say(&log, "SDDPT,,0.0");
  say_rmc(&log, in, 36006, 6, "150426");
  lw_fixes got = accept_log(in, &log, NULL);
  assert_int_equal(got.count, 6);
  assert_int_equal(got.bad_checksum, 1);
  assert_int_equal(got.bad_sentence, 4);
  assert_int_equal(got.without_depth, 1);
}

/* Loggers that put their own time before the sentence (NOAA NCEI, accession 0086548). */
static void what_stands_before_is_passed_over(void **in)
{
  const char *log =
      "03/15/2010,14:08:45.000," GGA_PUBLISHED "\n"
      "03/15/2010,14:08:45.876," DPT_PUBLISHED "\n"
      "03/15/2010,14:08:46.000,$GPGGA,123520,4807.038,N,01131.001,E,1,08,0.9,545.4,M,46.9,M,,*4C\n";
  lw_fixes got = accept_as(in, "run.log", log, NULL);
  assert_int_equal(got.count, 1);
  assert_close(got.fixes[0].latitude, 48 + 7.038 / 60, 1e-12);
  assert_close(got.fixes[0].longitude, 11 + 31.0005 / 60, 1e-12);
  assert_close(got.fixes[0].depth_m, 8.69, 1e-12); /* 6.29 under the transducer, 2.40 to the surface */
  assert_int_equal(got.fixes[0].line, 2);
}

/* Two receivers on one boat, a metre and a half apart: the one with more positions is followed. */
static void a_second_receiver_does_not_zigzag(void **in)
{
  lw_text log = LW_TEXT(1 << 20);
  for (int s = 0; s < 10; s++) {
    say_gga(&log, in, 36000 + s, s);
    say_rmc(&log, in, 36000 + s, s, "150426");
    if (s % 2 == 0) {
      say(&log,
          lw_arena_format(*in, "IIGLL,33%07.4f,N,08406.0010,W,1000%02d.50,A", 12 + 0.001 * (s + 0.5), s));
    }
    say(&log, "SDDPT,2.0,0.0");
  }
  lw_fixes got = accept_log(in, &log, NULL);
  assert_int_equal(got.count, 9);
  for (size_t i = 0; i < got.count; i++) {
    assert_close(got.fixes[i].longitude, -84.1, 1e-11);
    assert_close(got.fixes[i].latitude, latitude_after((double)i + 0.5), 1e-11);
  }
}

/* A receiver that changes its talker on the way (more satellite systems in view) is followed through. */
static void a_change_of_talker_is_followed(void **in)
{
  lw_text log = LW_TEXT(1 << 20);
  for (int s = 0; s < 30; s++) {
    const char *talker = s < 20 ? "GP" : "GN";
    say(&log, lw_arena_format(*in, "%sGGA,1000%02d.00,33%07.4f,N,08406.0000,W,1,09,,,M,,M,,", talker, s,
                              12 + 0.001 * s));
    say(&log, "SDDPT,2.0,0.0");
  }
  lw_fixes got = accept_log(in, &log, NULL);
  assert_int_equal(got.count, 29);
  assert_close(got.fixes[got.count - 1].latitude, latitude_after(28.5), 1e-11);
}

static void old_logs_without_checksums(void **in)
{
  const char *log =
      "$GPGLL,3312.0000,N,08406.0000,W\n$SDDBT,9.8,f,3.0,M,1.6,F\n$GPGLL,3312.0100,N,08406.0000,W\n"
      "$SDDBT,9.8,f,3.1,M,1.6,F\n$GPGLL,3313.0000,N,08406.0000,W\n";
  lw_fixes got = accept_as(in, "run.nmea", log, NULL);
  assert_int_equal(got.count, 1); /* the second way is 1.8 km: no time tells how long it took */
  assert_close(got.fixes[0].latitude, 33 + 12.005 / 60, 1e-12);
  assert_int_equal(got.without_position, 1);
}

static void the_content_tells_the_format(void **in)
{
  const char *log =
      "$GPGLL,3312.0000,N,08406.0000,W\n$SDDBT,9.8,f,3.0,M,1.6,F\n$GPGLL,3312.0100,N,08406.0000,W\n";
  static const char *const names[] = {"run.nmea", "run.txt", "run.csv", "run", "run.log"};
  for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
    assert_string_equal(accept_as(in, names[i], log, NULL).format, "NMEA 0183");
  }
}

int main(void)
{
  const struct CMUnitTest tests[] = {TEST(published_positions),
                                     TEST(a_published_date),
                                     TEST(a_published_depth),
                                     TEST(depths_of_all_kinds),
                                     TEST(no_fix_is_no_position),
                                     TEST(fields_that_cannot_be),
                                     TEST(sentences_that_are_none),
                                     TEST(depths_lie_between_positions),
                                     TEST(the_usual_orders_of_a_burst),
                                     TEST(a_burst_needs_no_position_behind_it),
                                     TEST(one_ping_in_three_sentences_counts_once),
                                     TEST(gaps_are_not_bridged),
                                     TEST(jumps_are_not_bridged),
                                     TEST(midnight_passes),
                                     TEST(midnight_passes_without_a_date),
                                     TEST(a_date_by_zda),
                                     TEST(bad_sentences_are_counted),
                                     TEST(what_stands_before_is_passed_over),
                                     TEST(a_second_receiver_does_not_zigzag),
                                     TEST(a_change_of_talker_is_followed),
                                     TEST(old_logs_without_checksums),
                                     TEST(the_content_tells_the_format)};
  return cmocka_run_group_tests_name("soundings from NMEA 0183", tests, NULL, NULL);
}
