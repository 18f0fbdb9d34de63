/* SPDX-License-Identifier: Apache-2.0 */
/* Whether Jansson ran short of memory. It says so neither when it reads (its lexer tells a failed
 * allocation as a fault of the text) nor when a caller builds (an element that could not be made is
 * simply not there): so its allocations are watched, by thread. */
#ifndef LW_EXCHANGE_JSON_MEMORY_H
#define LW_EXCHANGE_JSON_MEMORY_H

#include <stdbool.h>

/* Once, at the start of the program, before Jansson is used. */
void lw_json_watch(void);

/* true when an allocation of Jansson failed in this thread since the last call: what was read or built
 * meanwhile is not to be trusted. */
bool lw_json_ran_short(void);

#endif
