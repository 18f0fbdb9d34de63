/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "base/text.h"
#include "water/check.h"
#include "water/oxygen.h"

#include <math.h>

enum { DAY_MINUTES = 1440, SECOND_WITHIN = 12 * 60, DAWN_WITHIN = 18 * 60 };

static int minutes_after(int from, int to)
{
  return (to - from + DAY_MINUTES) % DAY_MINUTES;
}

static lw_status check_times(int to_second, int to_dawn, lw_error *err)
{
  if (to_second == 0 || to_second > SECOND_WITHIN) {
    return lw_fail(err, LW_INVALID,
                   "second-time is %d h %02d min after first-time; it must come later the same night, "
                   "within 12 h (two to three hours is best)",
                   to_second / 60, to_second % 60);
  }
  if (to_dawn < to_second || to_dawn > DAWN_WITHIN) {
    return lw_fail(err, LW_INVALID,
                   "dawn is %d h %02d min after first-time; it must come after second-time and within "
                   "18 h of the first reading",
                   to_dawn / 60, to_dawn % 60);
  }
  return LW_OK;
}

static lw_status check_readings(const lw_night_readings *night, lw_error *err)
{
  lw_status s = lw_within("first-oxygen", night->first_mg_l, 0, LW_OXYGEN_HIGH_MG_L, "mg/L", err);
  if (s == LW_OK) {
    s = lw_within("second-oxygen", night->second_mg_l, 0, LW_OXYGEN_HIGH_MG_L, "mg/L", err);
  }
  if (s == LW_OK) {
    s = lw_within("first-time", night->first_minute, 0, DAY_MINUTES - 1, "min", err);
  }
  if (s == LW_OK) {
    s = lw_within("second-time", night->second_minute, 0, DAY_MINUTES - 1, "min", err);
  }
  if (s == LW_OK) {
    s = lw_within("dawn", night->dawn_minute, 0, DAY_MINUTES - 1, "min", err);
  }
  if (s == LW_OK && night->second_mg_l > night->first_mg_l) {
    char first[LW_NUMBER_MAX];
    char second[LW_NUMBER_MAX];
    s = lw_fail(err, LW_INVALID,
                "oxygen rose from %s to %s mg/L between the readings, so they say nothing about dawn; "
                "take the first at dusk, away from an aerator, and the second two to three hours later",
                lw_rounded_text(night->first_mg_l, 4, first), lw_rounded_text(night->second_mg_l, 4, second));
  }
  return s;
}

lw_status lw_oxygen_at_dawn(lw_dawn_oxygen *out, const lw_night_readings *night, lw_error *err)
{
  lw_status s = check_readings(night, err);
  if (s != LW_OK) {
    return s;
  }
  int to_second = minutes_after(night->first_minute, night->second_minute);
  int to_dawn = minutes_after(night->first_minute, night->dawn_minute);
  s = check_times(to_second, to_dawn, err);
  if (s != LW_OK) {
    return s;
  }
  double ratio = (double)to_dawn / to_second;
  double straight = night->first_mg_l - (night->first_mg_l - night->second_mg_l) * ratio;
  out->straight_mg_l = fmax(0.0, straight);
  out->exponential_mg_l =
      night->second_mg_l > 0 ? night->first_mg_l * pow(night->second_mg_l / night->first_mg_l, ratio) : 0.0;
  return LW_OK;
}

enum { FIRST, SECOND, FIRST_TIME, SECOND_TIME, DAWN };

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  lw_night_readings night = {.first_mg_l = a[FIRST].number,
                             .second_mg_l = a[SECOND].number,
                             .first_minute = (int)a[FIRST_TIME].number,
                             .second_minute = (int)a[SECOND_TIME].number,
                             .dawn_minute = (int)a[DAWN].number};
  lw_dawn_oxygen dawn = {0, 0};
  lw_status s = lw_oxygen_at_dawn(&dawn, &night, err);
  r[0] = (lw_result){true, dawn.straight_mg_l};
  r[1] = (lw_result){true, dawn.exponential_mg_l};
  return s;
}

const lw_method lw_method_oxygen_at_dawn = {
    .name = "oxygen-at-dawn",
    .title = "Oxygen at dawn from two readings",
    .purpose = "What a reading at dusk and one two to three hours later say about the oxygen left at "
               "dawn, to decide on aerating tonight.",
    .formula = "straight = DO0 - (DO0 - DO1) (td - t0) / (t1 - t0), not under 0; exponential = DO0 (DO1 "
               "/ DO0)^((td - t0) / (t1 - t0))",
    .source = "straight: Boyd, Romaire & Johnston 1978, Trans. Am. Fish. Soc. 107:484 (from memory); "
              "exponential: Madenjian, Rogers & Fast 1987, Aquac. Eng. 6:191 (abstract)",
    .basis = "read",
    .limits = "Errs by 0.4 to 1 mg/L at best, more when the wind or the cloud changes: act on the lower "
              "figure, never on the higher. At 3 mg/L or less before sunrise, aerate; falling fast, "
              "start at 4 (Jensen, Alabama Extension). Electricity near water is for licensed people.",
    .inputs = {{.name = "first-oxygen",
                .meaning = "oxygen at dusk",
                .unit = "mg/L",
                .low = 0,
                .high = LW_OXYGEN_HIGH_MG_L},
               {.name = "second-oxygen",
                .meaning = "oxygen two to three hours later",
                .unit = "mg/L",
                .low = 0,
                .high = LW_OXYGEN_HIGH_MG_L},
               {.name = "first-time", .meaning = "local time of the first reading", .kind = LW_INPUT_CLOCK},
               {.name = "second-time", .meaning = "local time of the second reading", .kind = LW_INPUT_CLOCK},
               {.name = "dawn", .meaning = "local time of first light", .kind = LW_INPUT_CLOCK}},
    .outputs = {{"oxygen-straight", "oxygen at dawn by the straight line (the safer)", "mg/L"},
                {"oxygen-exponential", "oxygen at dawn by equal shares", "mg/L"}},
    .evaluate = evaluate,
};
