/* SPDX-License-Identifier: Apache-2.0 */
/* Is there enough on the shelf for what this water needs today and for the rest of the season? */
#ifndef LW_ADVICE_SHELF_H
#define LW_ADVICE_SHELF_H

#include "advice/rules.h"

/* The stock item from the feed and lime items already judged. */
void lw_item_stock(const lw_view *view, const lw_item *feed, const lw_item *lime, lw_item *out);

#endif
