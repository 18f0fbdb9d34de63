/* SPDX-License-Identifier: Apache-2.0 */
/* Water through a lake: what goes over a weir or spillway, and how long water stays. */
#ifndef LW_WATER_FLOW_H
#define LW_WATER_FLOW_H

#include "base/status.h"

#define LW_WEIR_BROAD 3.09 /* coefficients are in ft^0.5/s, as United States practice prints them */
#define LW_WEIR_SHARP 3.33

typedef enum lw_weir_kind { LW_WEIR_KIND_BROAD, LW_WEIR_KIND_SHARP } lw_weir_kind;

typedef struct lw_weir {
  lw_weir_kind kind;
  double length_m;     /* 0-1000 */
  double head_m;       /* upstream water above the crest, 0-10 */
  double coefficient;  /* 1-5 ft^0.5/s */
  double contractions; /* sharp crest: ends where the flow narrows, 0-20; broad: 0 */
} lw_weir;

/* Q = C L H^1.5 (broad), C (L - 0.1 n H) H^1.5 (sharp), in m3/s. LW_INVALID where the contractions
 * leave no length. Source: Francis formula; USDA and USGS practice. */
LW_MUST_CHECK lw_status lw_weir_flow_m3_s(double *out, const lw_weir *weir, lw_error *err);

/* Mean stay of water, days: volume / outflow. volume_m3 0 to 1e11, outflow above 0 m3/s. */
LW_MUST_CHECK lw_status lw_retention_days(double *out, double volume_m3, double outflow_m3_s, lw_error *err);

#endif
