/* SPDX-License-Identifier: Apache-2.0 */
#include "clock.h"

#include "base/stats.h"

#include <fcntl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

double clock_ms(void)
{
  struct timespec now = {0};
  (void)clock_gettime(CLOCK_MONOTONIC, &now);
  return (double)now.tv_sec * 1e3 + (double)now.tv_nsec / 1e6;
}

double median_of(double *values, size_t count)
{
  double out = 0;
  lw_sort(values, count);
  return lw_quantile(&out, values, count, 0.5, NULL) == LW_OK ? out : 0;
}

double run_ms(char *const arguments[], double *peak_mib)
{
  int status = 0;
  struct rusage usage = {0};
  double start = clock_ms();
  pid_t child = fork();
  if (child == 0) {
    int nowhere = open("/dev/null", O_WRONLY);
    if (nowhere >= 0) {
      (void)dup2(nowhere, STDOUT_FILENO);
      (void)execv(arguments[0], arguments);
    }
    _exit(127);
  }
  if (child < 0 || wait4(child, &status, 0, &usage) != child) {
    return -1;
  }
  double took = clock_ms() - start;
  if (peak_mib) {
    *peak_mib = (double)usage.ru_maxrss / 1024;
  }
  return WIFEXITED(status) && WEXITSTATUS(status) == 0 ? took : -1;
}
