/* SPDX-License-Identifier: Apache-2.0 */
/* Writing things down: each function is one change in the store (all of it or nothing), and can be
 * undone. Values are texts as typed; bad ones are refused with the field, the value and what to do. */
#ifndef LW_WORK_ENTRIES_H
#define LW_WORK_ENTRIES_H

#include "work/desk.h"

/* Keys of a water: name, place ("33.1,-86.4"), outline (GeoJSON text) or outline-file (a path),
 * elevation, area, mean-depth, max-depth, aim-low, aim-high, alarm, start-temperature, season-start,
 * season-end, outflow, pellets, use, harvest, downstream, fish, units, note. */
LW_MUST_CHECK lw_status lw_add_water(lw_entry *out, const lw_desk *desk, const lw_form *form, lw_error *err);
LW_MUST_CHECK lw_status lw_change_water(lw_entry *out, const lw_desk *desk, lw_id id, const lw_form *form,
                                        lw_error *err);

/* Keys: value (required), on, depth, by, way, note. */
LW_MUST_CHECK lw_status lw_add_reading(lw_entry *out, const lw_desk *desk, lw_id water, const char *quantity,
                                       const lw_form *form, lw_error *err);

/* Keys: name, kind, form, grade, package ("50 lb" or "1 gal"), density, neutralizing-value, fineness,
 * price, note. Where kind is missing it follows from grade and form. */
LW_MUST_CHECK lw_status lw_add_material(lw_entry *out, const lw_desk *desk, const lw_form *form,
                                        lw_error *err);
LW_MUST_CHECK lw_status lw_change_material(lw_entry *out, const lw_desk *desk, lw_id id, const lw_form *form,
                                           lw_error *err);

/* Keys: packages, price, on, note. */
LW_MUST_CHECK lw_status lw_add_lot(lw_entry *out, const lw_desk *desk, lw_id material, const lw_form *form,
                                   lw_error *err);

/* Keys: amount ("4 packages", "200 lb", "10 gal"), on, purpose, conditions, zone, by, note. */
LW_MUST_CHECK lw_status lw_add_treatment(lw_entry *out, const lw_desk *desk, lw_id water, lw_id material,
                                         const lw_form *form, lw_error *err);

/* Keys: text, on, by. water 0: about the whole place. */
LW_MUST_CHECK lw_status lw_add_note(lw_entry *out, const lw_desk *desk, lw_id water, const lw_form *form,
                                    lw_error *err);

/* Keys: on, forecast (default true), rain, wind, air, cloud, source. water 0: for all. */
LW_MUST_CHECK lw_status lw_add_weather(lw_entry *out, const lw_desk *desk, lw_id water, const lw_form *form,
                                       lw_error *err);

/* Keys: rule, reason, until. */
LW_MUST_CHECK lw_status lw_add_override(lw_entry *out, const lw_desk *desk, lw_id water, const lw_form *form,
                                        lw_error *err);

/* Keys: name, kind, note, and one of outline (GeoJSON text: Point, LineString or Polygon), outline-file (a
 * path) and at ("33.1,-86.4": a place). The area follows from a polygon. */
LW_MUST_CHECK lw_status lw_add_zone(lw_entry *out, const lw_desk *desk, lw_id water, const lw_form *form,
                                    lw_error *err);
LW_MUST_CHECK lw_status lw_change_zone(lw_entry *out, const lw_desk *desk, lw_id id, const lw_form *form,
                                       lw_error *err);

/* By name, without case; LW_NOT_FOUND says which there are. */
LW_MUST_CHECK lw_status lw_find_zone(lw_zone *out, const lw_desk *desk, lw_id water, const char *name,
                                     lw_error *err);

/* "33.1,-86.4": latitude first, as people say it. `field` is for messages. */
LW_MUST_CHECK lw_status lw_place_read(double *out_latitude, double *out_longitude, const char *field,
                                      const char *text, lw_error *err);

/* One or more settings at once: units, money, place or a program key; NULL text goes back to the
 * default. */
LW_MUST_CHECK lw_status lw_set_settings(lw_entry *out, const lw_desk *desk, const lw_form *form,
                                        lw_error *err);

LW_MUST_CHECK lw_status lw_remove_record(lw_entry *out, const lw_desk *desk, lw_kind_id kind, lw_id id,
                                         lw_error *err);

LW_MUST_CHECK lw_status lw_undo(lw_entry *out, const lw_desk *desk, lw_id change, lw_error *err);

#endif
