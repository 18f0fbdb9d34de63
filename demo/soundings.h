/* SPDX-License-Identifier: Apache-2.0 */
/* The club's depth soundings. Each survey is made as a boat would have logged it (boat.h, sounder.h) and
 * read in like anybody's file; Heron Pool has depths by rope; of Brickyard there is only what was told. */
#ifndef LW_DEMO_SOUNDINGS_H
#define LW_DEMO_SOUNDINGS_H

#include "base/text.h"
#include "demo/diary.h"

enum { LW_DEMO_LOGS = 3 };

/* One file as the instruments wrote it, and what its owner tells when it is read in. */
typedef struct lw_demo_log_file {
  lw_demo_place place;
  const char *file, *survey;  /* "upper-sedge.nmea"; "upper-sedge", as the store calls it */
  const char *level, *offset; /* "-1.2 ft"; NULL: at full pool; told by the log or reckoned in */
  const char *note;
} lw_demo_log_file;

extern const lw_demo_log_file lw_demo_log_files[LW_DEMO_LOGS];

/* Adds the text of file `index` to `out`. Same seed, same text. */
LW_MUST_CHECK lw_status lw_demo_log_text(lw_text *out, size_t index, uint64_t seed, lw_error *err);

/* Writes the files into `folder`, which is made where it is not there. LW_CONFLICT when one of them exists:
 * then none is written. */
LW_MUST_CHECK lw_status lw_demo_write_logs(const char *folder, uint64_t seed, lw_error *err);

/* Reads them all in, as changes of one evening before the last days (last_days.c). */
LW_MUST_CHECK lw_status lw_demo_write_surveys(lw_store *store, const lw_demo_ids *ids, uint64_t seed,
                                              lw_arena *arena, lw_error *err);

#endif
