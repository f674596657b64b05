// Makes every sync of a file 10 ms longer. Loaded with LD_PRELOAD by the bench.
#define _GNU_SOURCE
#include <dlfcn.h>
#include <unistd.h>

static int slowly(const char *name, int file) {
  int (*sync)(int) = (int (*)(int))dlsym(RTLD_NEXT, name);
  usleep(10000);
  return sync(file);
}

int fsync(int file) { return slowly("fsync", file); }
int fdatasync(int file) { return slowly("fdatasync", file); }
