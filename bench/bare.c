/* SPDX-License-Identifier: Apache-2.0 */
/* The least a program can be: what starting any program costs on this machine. */
int main(void)
{
  return 0;
}
