/* SPDX-License-Identifier: Apache-2.0 */
/* Runs a fuzz target over the files of the folders named on the command line, so that what a fuzzer
 * once found stays tested where there is no fuzzer. Prints TAP. */
#include "fuzz.h"

#include <dirent.h>
#include <string.h>
#include <sys/stat.h>

enum { LARGEST = 1 << 20 };

static int count;

static void run_file(const char *path)
{
  uint8_t *data = NULL;
  FILE *file = fopen(path, "rb");
  CHECK(file);
  data = malloc(LARGEST);
  CHECK(data);
  size_t size = fread(data, 1, LARGEST, file);
  (void)fclose(file);
  uint8_t *exact = malloc(size ? size : 1); /* so that a sanitizer sees one byte too far */
  CHECK(exact);
  memcpy(exact, data, size);
  free(data);
  (void)LLVMFuzzerTestOneInput(exact, size);
  free(exact);
  (void)printf("ok %d - %s\n", ++count, path);
}

static void run_folder(const char *path)
{
  DIR *folder = opendir(path);
  CHECK(folder);
  for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
    char name[4096];
    struct stat info;
    int n = snprintf(name, sizeof name, "%s/%s", path, entry->d_name);
    if (n > 0 && (size_t)n < sizeof name && stat(name, &info) == 0 && S_ISREG(info.st_mode)) {
      run_file(name);
    }
  }
  (void)closedir(folder);
}

int main(int argc, char **argv)
{
  for (int i = 1; i < argc; i++) {
    run_folder(argv[i]);
  }
  CHECK(count > 0);
  (void)printf("1..%d\n", count);
  return 0;
}
