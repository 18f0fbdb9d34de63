/* SPDX-License-Identifier: Apache-2.0 */
/* Oxygen in water: how much it can hold, what two night readings say about dawn, and what an aerator
 * really gives. */
#ifndef LW_WATER_OXYGEN_H
#define LW_WATER_OXYGEN_H

#include "base/status.h"

#define LW_ELEVATION_LOW_M (-430.0)
#define LW_ELEVATION_HIGH_M 5000.0
#define LW_PRESSURE_LOW_KPA 50.0
#define LW_PRESSURE_HIGH_KPA 110.0
#define LW_KPA_PER_ATM 101.325
#define LW_WATER_TEMPERATURE_LOW_C 0.0
#define LW_WATER_TEMPERATURE_HIGH_C 40.0
#define LW_SALINITY_HIGH_G_KG 40.0
#define LW_OXYGEN_HIGH_MG_L 40.0

/* Air pressure in kPa from elevation (-430 to 5000 m): 101.3 ((293 - 0.0065 z) / 293)^5.26. Sea level
 * gives the 101.3 that is printed there, 0.025 kPa under one atmosphere. Source: FAO-56 (Allen et al.
 * 1998) eq. 7. */
LW_MUST_CHECK lw_status lw_air_pressure_kpa(double *out, double elevation_m, lw_error *err);

/* Oxygen in mg/L that water holds in balance with moist air. temperature_c 0 to 40, pressure_atm 0.49
 * to 1.09 (1 = sea level), salinity_g_kg 0 to 40. Source: Benson & Krause 1984, Limnol. Oceanogr.
 * 29:620, as adopted in Standard Methods 4500-O. */
LW_MUST_CHECK lw_status lw_oxygen_saturation_mg_l(double *out, double temperature_c, double pressure_atm,
                                                  double salinity_g_kg, lw_error *err);

/* Two readings of one night. Times are local minutes after midnight (0-1439); they may pass midnight.
 * The second reading comes up to 12 h after the first, dawn after the second and within 18 h of the
 * first. Oxygen must not have risen between them. */
typedef struct lw_night_readings {
  double first_mg_l, second_mg_l;
  int first_minute, second_minute, dawn_minute;
} lw_night_readings;

typedef struct lw_dawn_oxygen {
  double straight_mg_l;    /* straight line, never under 0: the safer one for alarms */
  double exponential_mg_l; /* equal shares lost in equal times */
} lw_dawn_oxygen;

/* Sources: straight line Boyd, Romaire & Johnston 1978, Trans. Am. Fish. Soc. 107:484; exponential
 * Madenjian, Rogers & Fast 1987, Aquac. Eng. 6:191. */
LW_MUST_CHECK lw_status lw_oxygen_at_dawn(lw_dawn_oxygen *out, const lw_night_readings *night, lw_error *err);

/* An aerator and the water it works in. */
typedef struct lw_aeration {
  double standard_rate_kg_h; /* maker's SOTR: clean water, 20 degC, no oxygen, sea level */
  double temperature_c, oxygen_mg_l;
  double pressure_atm;
  double alpha, beta, theta;
} lw_aeration;

/* kg/h of oxygen transferred under those conditions; negative (driven out) above saturation. Source:
 * Boyd 1998, Aquac. Eng. 18:9. */
LW_MUST_CHECK lw_status lw_oxygen_transfer_kg_h(double *out, const lw_aeration *aeration, lw_error *err);

#endif
