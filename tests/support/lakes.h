/* SPDX-License-Identifier: Apache-2.0 */
/* Invented lakes whose depth is known everywhere, and a surveyor who sails over them: the truth that the
 * cleaning, the depth map and its interval are tried against. The bed is a formula, so area, volume and
 * greatest depth are closed forms or quadratures good to 1e-6. Everything is a function of what is asked
 * and its seed. For tests and benchmarks only. */
#ifndef LW_TESTS_LAKES_H
#define LW_TESTS_LAKES_H

#include "base/arena.h"
#include "base/status.h"
#include "basin/shore.h"
#include "basin/soundings.h"

#include <stdbool.h>
#include <stdint.h>

#define LW_LAKE_LIST(X)                                                                                      \
  X(LW_LAKE_CONE, "cone")                                                                                    \
  X(LW_LAKE_PARABOLOID, "paraboloid")                                                                        \
  X(LW_LAKE_BOWL, "elliptic bowl")           /* flat bed, steep banks: 1 - r^4 */                            \
  X(LW_LAKE_WEDGE, "wedge")                  /* plane bed falling to a dam, straight banks; 4 spots */       \
  X(LW_LAKE_ISLAND, "basin with an island")  /* a moat: 2 rings */                                           \
  X(LW_LAKE_VALLEY, "valley with a channel") /* dammed; a winding creek bed 0.35 of the depth deeper */      \
  X(LW_LAKE_ARMS, "two arms")                /* deepest towards the dam */                                   \
  X(LW_LAKE_ROUGH, "rough")                  /* shore and bed from seeded waves and bumps */

#define LW_LAKE_ENUM(code, name) code,
typedef enum lw_lake_kind { LW_LAKE_LIST(LW_LAKE_ENUM) LW_LAKE_KINDS } lw_lake_kind;
#undef LW_LAKE_ENUM

enum { LW_LAKE_BUMPS = 24, LW_LAKE_WAVES = 5 };

typedef struct lw_lake_ask {
  lw_lake_kind kind;
  double size_m;  /* radius, or half the length */
  double depth_m; /* greatest depth */
  double turn;    /* radians: the whole lake turned counter-clockwise */
  uint64_t seed;  /* LW_LAKE_ROUGH: which one */
} lw_lake_ask;

typedef struct lw_lake_bump {
  lw_spot at;
  double size_m, height;
} lw_lake_bump;

typedef struct lw_lake {
  const char *name;
  lw_shore shore; /* in the arena */
  double area_m2; /* of the shore's polygon */
  double volume_m3, deepest_m;
  /* how it is made */
  lw_lake_ask ask;
  double amplitude, cos_turn, sin_turn;
  double wave[LW_LAKE_WAVES][2]; /* cosine and sine parts of the rough shore */
  lw_lake_bump bumps[LW_LAKE_BUMPS];
} lw_lake;

LW_MUST_CHECK lw_status lw_lake_make(lw_lake *out, const lw_lake_ask *ask, lw_arena *arena, lw_error *err);

/* The true depth at a spot, m; 0 outside. */
double lw_lake_depth_m(const lw_lake *lake, lw_spot spot);

typedef enum lw_sailing_pattern { LW_SAIL_PARALLEL, LW_SAIL_ZIGZAG } lw_sailing_pattern;

typedef struct lw_sailing {
  lw_sailing_pattern pattern;
  size_t lines;          /* over the whole lake; a line that crosses land becomes several pieces */
  double spacing_m;      /* between soundings along a line */
  double heading;        /* radians counter-clockwise from east */
  double shore_gap_m;    /* soundings begin this far off the shore; 0: 2 m */
  double speed_m_s;      /* 0: 1.5 */
  double noise_m;        /* standard deviation of each sounding by itself */
  double drift_m;        /* standard deviation of an error that changes slowly along the track ... */
  double drift_length_m; /* ... over this length; 0: 50 m */
  double scale_error;    /* all depths are (1 + this) too deep */
  double level_error_m;  /* all depths are this much too deep */
  double place_m;        /* standard deviation of the recorded place, east and north */
  double resolution_m;   /* depths are rounded to this; 0: not */
  double spikes;         /* shares of the soundings that are corrupted: off by spike_least_m to ... */
  double spike_least_m, spike_most_m; /* ... spike_most_m, up or down (never below 0 m) */
  double dropouts;                    /* recorded as 0 */
  double double_echoes;               /* recorded twice as deep */
  bool tracks;                        /* give each sounding its piece as track; otherwise -1 */
  bool timeless;                      /* no times */
  int32_t survey;
  uint64_t seed;
} lw_sailing;

typedef struct lw_sailed {
  lw_sounding *soundings; /* in sailing order, flaw LW_SOUNDING_GOOD */
  size_t count, pieces;
  double *truth_m;  /* true depth at the true place */
  int32_t *piece;   /* which piece of line */
  uint8_t *planted; /* lw_sounding_flaw put in: SPIKE, DROPOUT, DOUBLE_ECHO or GOOD */
} lw_sailed;

LW_MUST_CHECK lw_status lw_lake_sail(lw_sailed *out, const lw_lake *lake, const lw_sailing *how,
                                     lw_arena *arena, lw_error *err);

enum { LW_ENSEMBLE = 200 };

/* Survey `member` (0 to LW_ENSEMBLE - 1) of the ensemble `seed`: a lake of any kind, 60 to 350 m in size,
 * 1.5 to 9 m deep; 8 to 40 lines of any heading; noise 2 to 10 cm, drift to 5 cm; one scale error (sd 1 %)
 * and one level error (sd 2 cm). No corruptions: set them and sail. */
void lw_lakes_draw(lw_lake_ask *lake, lw_sailing *how, uint64_t seed, uint32_t member);

#endif
