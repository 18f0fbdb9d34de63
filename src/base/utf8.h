/* SPDX-License-Identifier: Apache-2.0 */
/* One UTF-8 character at a time, as RFC 3629 defines it. */
#ifndef LW_BASE_UTF8_H
#define LW_BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>

/* Length of the character at `text` (1-4) with `left` bytes to go; 0 where it is malformed, overlong,
 * a surrogate, or cut off. */
size_t lw_utf8_length(const char *text, size_t left);

/* true for a control character of that length: U+0000-1F, U+007F, and U+0080-9F, by which a terminal
 * may be driven as well as by ESC. */
bool lw_utf8_is_control(const char *text, size_t length);

#endif
