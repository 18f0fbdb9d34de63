/* SPDX-License-Identifier: Apache-2.0 */
/* Text from other programs and libraries, made fit for a message. */
#ifndef LW_EXCHANGE_PLAIN_H
#define LW_EXCHANGE_PLAIN_H

/* In place: line breaks and tabs become spaces, other control characters and bytes that are not
 * UTF-8 become '?', spaces at the end go. */
void lw_make_plain(char *text);

/* The beginning of `text`, plain and cut between characters, with "..." where something was left
 * out. Returns `out`. */
enum { LW_EXCERPT = 84 };
const char *lw_excerpt(const char *text, char out[LW_EXCERPT]);

#endif
