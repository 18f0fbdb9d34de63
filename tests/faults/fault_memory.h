/* SPDX-License-Identifier: Apache-2.0 */
/* Lets the n-th allocation fail, whoever asks for it: our own code (the linker puts these functions
 * in the place of malloc and its kin: --wrap), SQLite and the JSON library. For tests only. */
#ifndef LW_TESTS_FAULT_MEMORY_H
#define LW_TESTS_FAULT_MEMORY_H

/* Takes over SQLite's and Jansson's allocations; before anything else of SQLite. 0 on success. */
int fault_memory_install(void);

/* From now on allocation `n` (from 1) fails, once; 0: none fails. Counting begins anew. */
void fault_memory_arm(long n);

/* How many were asked for since, and whether one failed. */
long fault_memory_asked(void);
int fault_memory_failed(void);

/* Blocks in use by the whole process; only fault_everything.c counts them. */
long fault_memory_live(void);

#endif
