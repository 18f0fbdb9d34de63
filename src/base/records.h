/* SPDX-License-Identifier: Apache-2.0 */
/* The records as plain structs: what the owner knows, saw and did, in SI units. No persistence here;
 * store/ keeps them with their history, advice/ reasons over them, exchange/ reads and writes them.
 * Text members are never NULL ("" when empty) except outlines and soundings; they belong to the arena
 * the record was read into. ids are positive; 0 means 'none' or 'not stored yet'. */
#ifndef LW_BASE_RECORDS_H
#define LW_BASE_RECORDS_H

#include "base/dates.h"
#include "base/maybe.h"

#include <stdbool.h>
#include <stdint.h>

typedef int64_t lw_id;

typedef struct lw_water {
  lw_id id;
  const char *name;             /* unique, compared without case */
  lw_maybe latitude, longitude; /* degrees north and east */
  lw_maybe elevation_m;
  lw_maybe area_m2; /* as the owner gives it; outline_area_m2 is used where it is not */
  lw_maybe mean_depth_m, max_depth_m;
  const char *outline;                           /* GeoJSON geometry text, or NULL */
  lw_maybe outline_area_m2, outline_perimeter_m; /* geodesic, islands taken out */
  lw_maybe aim_low_m, aim_high_m;                /* the disk should hang between these depths */
  lw_maybe alarm_m;                              /* greener than this is dangerous */
  lw_maybe start_temperature_c;                  /* surface water at which feeding may begin */
  const char *season_start, *season_end;         /* "04-20", "10-31": month and day, "" for the default */
  lw_maybe outflow_m3_s;                         /* usual outflow in the season */
  lw_maybe pellets_kg_ha_day;                    /* fish feed given */
  const char *use;        /* fishing|clear-water|wildlife|livestock|swimming, "" not told */
  const char *harvest;    /* yes|no, "" not told */
  const char *downstream; /* nobody|neighbours|permit-needed|permit-held, "" not told */
  const char *fish;       /* stocked|none|unbalanced, "" not told */
  const char *units;      /* us|metric, "" for the store's setting */
  const char *note;
} lw_water;

typedef struct lw_zone {
  lw_id id, water;
  const char *name;
  const char *kind;    /* bay|hazard|channel|launch|inlet|spillway|swimming|platform */
  const char *outline; /* GeoJSON geometry text, or NULL */
  lw_maybe area_m2;
  const char *note;
} lw_zone;

/* Soundings of a water, taken together. A depth below full pool is the recorded one + offset - level. */
typedef struct lw_survey {
  lw_id id, water;
  const char *name; /* unique in its water */
  lw_day day;
  lw_maybe level_m;      /* of the pool against full pool that day; not known: taken as 0, and said */
  lw_maybe offset_m;     /* of the transducer below the surface; added to the depths */
  bool used;             /* the owner's choice: does it shape the depth map? */
  const char *soundings; /* text of exchange/soundings.h lw_fixes_write; NULL in lists, see store/store.h */
  double sounding_count; /* rows in it */
  const char *kept;      /* the owner's word on single soundings, by their numbers (from 1, in the */
  const char *dropped;   /* order of the text): "3,17-20" */
  const char *source;    /* "run3.nmea (NMEA 0183)" */
  const char *note;
} lw_survey;

typedef struct lw_reading {
  lw_id id, water;
  const char *quantity; /* a name of base/quantity.h */
  double value;         /* in the quantity's unit; words as their index */
  lw_maybe depth_m;     /* of the probe, for profiles */
  lw_day day;
  lw_maybe minute; /* local time of day, minutes after midnight */
  const char *by, *way, *note;
} lw_reading;

typedef struct lw_material {
  lw_id id;
  const char *name;  /* unique; by grade or substance, never a brand */
  const char *kind;  /* fertilizer|lime|other */
  const char *form;  /* liquid|soluble-powder|controlled-release|granular|ground|hydrated|other */
  const char *grade; /* "12-48-8": percent N, P2O5, K2O; "" when not a fertilizer */
  lw_maybe density_kg_l;
  lw_maybe package_kg; /* mass in one package; liquids: package volume x density */
  lw_maybe package_l;  /* volume in one package, liquids */
  lw_maybe neutralizing_value_pct, fineness_pct;
  lw_maybe price; /* of one package, in the store's money */
  const char *note;
} lw_material;

typedef struct lw_lot {
  lw_id id, material;
  lw_day day;
  double packages; /* bought; negative when counted as lost */
  lw_maybe price;  /* of one package in this lot */
  const char *note;
} lw_lot;

typedef struct lw_treatment {
  lw_id id, water, material;
  lw_id zone; /* 0: the whole water */
  lw_day day;
  double mass_kg;
  lw_maybe volume_l;      /* liquids, as poured before dilution */
  const char *purpose;    /* feed|lime|weed|other */
  const char *conditions; /* wind, rain, how it was put out */
  const char *by, *note;
} lw_treatment;

typedef struct lw_note {
  lw_id id, water; /* water 0: about the whole place */
  lw_day day;
  const char *text, *by;
} lw_note;

typedef struct lw_weather {
  lw_id id, water; /* water 0: for all */
  lw_day day;
  bool forecast;
  lw_day issued; /* LW_NO_DAY when not told */
  lw_maybe rain_mm, wind_m_s, air_c, cloud_pct;
  const char *source;
} lw_weather;

/* The owner's word against a rule: the rule is then shown as set aside, with the reason. */
typedef struct lw_override {
  lw_id id, water;
  const char *rule;   /* its id */
  const char *reason; /* required */
  lw_day day;
  lw_day until; /* last day it holds; LW_NO_DAY: until taken back */
  const char *by;
} lw_override;

typedef struct lw_setting {
  lw_id id;
  const char *key, *value;
} lw_setting;

#endif
