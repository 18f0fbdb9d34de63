/* SPDX-License-Identifier: Apache-2.0 */
/* The list of every method: what the command line, the page, the documentation and the published
 * checks walk through. A new method is one file in its science folder and one line in methods.c. */
#ifndef LW_ADVICE_METHODS_H
#define LW_ADVICE_METHODS_H

#include "base/method.h"

/* Ends with NULL. In the order of the documentation. */
extern const lw_method *const lw_methods[];

#endif
