/* SPDX-License-Identifier: Apache-2.0 */
/* The club's settings, its four waters with their outlines and zones, and the materials it buys. */
#ifndef LW_DEMO_PLACES_H
#define LW_DEMO_PLACES_H

#include "demo/diary.h"

/* The files demo/<name>.geojson, put in by embed_outlines.py. */
extern const char lw_demo_upper_sedge[], lw_demo_heron_pool[], lw_demo_long_run[], lw_demo_brickyard[];
extern const char lw_demo_upper_sedge_zones[], lw_demo_long_run_zones[];

/* Writes them as the first changes of the store and tells their ids. */
LW_MUST_CHECK lw_status lw_demo_write_places(lw_store *store, lw_demo_ids *ids, lw_arena *arena,
                                             lw_error *err);
LW_MUST_CHECK lw_status lw_demo_write_materials(lw_store *store, lw_demo_ids *ids, lw_error *err);

/* Mass in one package as sold, kg; litres in it, 0 where it is sold by weight. */
double lw_demo_package_kg(lw_demo_material material);
double lw_demo_package_l(lw_demo_material material);

#endif
