/* SPDX-License-Identifier: Apache-2.0 */
/* What every drawing comes as. */
#ifndef LW_DRAW_PICTURE_H
#define LW_DRAW_PICTURE_H

#include <stddef.h>

typedef enum lw_picture_format {
  LW_PICTURE_SVG, /* letters as shapes; title and description for screen readers */
  LW_PICTURE_PNG, /* 200 dots an inch, said in the file */
  LW_PICTURE_PDF, /* text is text, fonts inside */
} lw_picture_format;

typedef enum lw_paper { LW_PAPER_LETTER, LW_PAPER_A4 } lw_paper;

typedef struct lw_picture {
  const char *bytes; /* in the arena */
  size_t length;
  double width_mm, height_mm; /* of the paper as turned */
  double scale;               /* one to this many: 1200 for 1:1200 */
} lw_picture;

#endif
