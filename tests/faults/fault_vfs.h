/* SPDX-License-Identifier: Apache-2.0 */
/* A layer between SQLite and the disk that lets the n-th write, sync, truncation or opening of a file
 * fail, and everything after it too, as on a disk that has gone or is full. For tests only. */
#ifndef LW_TESTS_FAULT_VFS_H
#define LW_TESTS_FAULT_VFS_H

/* Makes the layer SQLite's default. 0 on success. */
int fault_vfs_install(void);

/* From now on operation `n` (from 1) and all later ones fail with `code` (SQLITE_IOERR_WRITE,
 * SQLITE_FULL ...); 0: none fails. Counting begins anew. */
void fault_vfs_arm(long n, int code);

/* How many operations were asked for since, and how many failed. */
long fault_vfs_operations(void);
long fault_vfs_failed(void);

#endif
