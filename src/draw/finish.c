/* SPDX-License-Identifier: Apache-2.0 */
#include "draw/finish.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

enum { SVG_MORE = 65536 };

/* --- SVG --- */

static void add_escaped(lw_text *out, const char *text)
{
  for (; *text; text++) {
    switch (*text) {
    case '&':
      lw_text_add(out, "&amp;");
      break;
    case '<':
      lw_text_add(out, "&lt;");
      break;
    case '>':
      lw_text_add(out, "&gt;");
      break;
    default:
      lw_text_add_n(out, text, 1);
    }
  }
}

/* Copies up to `end`, each "surface" and its number without the number of the first one. */
static void add_renumbered(lw_text *out, const char *at, const char *end)
{
  static const char word[] = "surface";
  unsigned long first = 0;
  bool seen = false;
  while (at < end) {
    const char *hit = strstr(at, word);
    if (!hit || hit >= end) {
      break;
    }
    hit += sizeof word - 1;
    lw_text_add_n(out, at, (size_t)(hit - at));
    at = hit;
    unsigned long number = 0;
    while (*at >= '0' && *at <= '9') {
      number = number * 10 + (unsigned long)(*at++ - '0');
    }
    if (at > hit) {
      first = seen ? first : number;
      seen = true;
      lw_text_addf(out, "%lu", number - first);
    }
  }
  lw_text_add_n(out, at, (size_t)(end - at));
}

lw_status lw_finish_svg(const lw_text *svg, const char *title, const char *summary, lw_arena *arena,
                        char **out, size_t *out_length, lw_error *err)
{
  const char *open = strstr(lw_text_view(svg), "<svg ");
  const char *after = open ? strchr(open, '>') : NULL;
  if (!after) {
    return lw_fail(err, LW_INTERNAL, "the drawing library wrote no SVG");
  }
  lw_text text = LW_TEXT(2 * svg->length + SVG_MORE);
  lw_text_add_n(&text, svg->data, (size_t)(open + 5 - svg->data));
  lw_text_add(&text, "role=\"img\" aria-labelledby=\"t d\" ");
  lw_text_add_n(&text, open + 5, (size_t)(after + 1 - (open + 5)));
  lw_text_add(&text, "\n<title id=\"t\">");
  add_escaped(&text, title);
  lw_text_add(&text, "</title>\n<desc id=\"d\">");
  add_escaped(&text, summary);
  lw_text_add(&text, "</desc>");
  add_renumbered(&text, after + 1, svg->data + svg->length);
  *out = text.failed ? NULL : lw_arena_copy_n(arena, text.data, text.length);
  *out_length = text.length;
  lw_text_free(&text);
  return *out ? LW_OK : lw_fail(err, LW_MEMORY, "there is no memory for the picture");
}

/* --- PNG --- */

enum { PNG_SIGNATURE_AND_HEADER = 8 + 25, PHYS_CHUNK = 21 };

static void put_u32(unsigned char *at, uint32_t value)
{
  for (int i = 0; i < 4; i++) {
    at[i] = (unsigned char)(value >> (24 - 8 * i));
  }
}

/* ISO 3309 CRC, bit by bit: it is 13 bytes. */
static uint32_t checksum(const unsigned char *data, size_t length)
{
  uint32_t crc = 0xFFFFFFFFu;
  for (size_t i = 0; i < length; i++) {
    crc ^= data[i];
    for (int bit = 0; bit < 8; bit++) {
      crc = crc & 1u ? (crc >> 1) ^ 0xEDB88320u : crc >> 1;
    }
  }
  return ~crc;
}

lw_status lw_finish_png(const lw_text *png, int dots_per_inch, lw_arena *arena, char **out,
                        size_t *out_length, lw_error *err)
{
  if (png->length < PNG_SIGNATURE_AND_HEADER) {
    return lw_fail(err, LW_INTERNAL, "the drawing library wrote no PNG");
  }
  unsigned char chunk[PHYS_CHUNK] = {0, 0, 0, 9, 'p', 'H', 'Y', 's'};
  uint32_t per_metre = (uint32_t)lround(dots_per_inch / 0.0254);
  put_u32(chunk + 8, per_metre);
  put_u32(chunk + 12, per_metre);
  chunk[16] = 1; /* the unit is the metre */
  put_u32(chunk + 17, checksum(chunk + 4, 13));
  char *bytes = lw_arena_alloc(arena, png->length + PHYS_CHUNK + 1, 1);
  if (!bytes) {
    return lw_fail(err, LW_MEMORY, "there is no memory for the picture");
  }
  memcpy(bytes, png->data, PNG_SIGNATURE_AND_HEADER);
  memcpy(bytes + PNG_SIGNATURE_AND_HEADER, chunk, PHYS_CHUNK);
  memcpy(bytes + PNG_SIGNATURE_AND_HEADER + PHYS_CHUNK, png->data + PNG_SIGNATURE_AND_HEADER,
         png->length - PNG_SIGNATURE_AND_HEADER);
  *out = bytes;
  *out_length = png->length + PHYS_CHUNK;
  return LW_OK;
}
