/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/child.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <pthread.h>
#include <spawn.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

extern char **environ;

typedef struct ends {
  pid_t pid;
  int input, output[2], complaint[2]; /* [0] ours, [1] the child's; -1 when closed */
  long long deadline_ms;
} ends;

static long long now_ms(void)
{
  struct timespec now = {0};
  (void)clock_gettime(CLOCK_MONOTONIC, &now);
  return (long long)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

static void shut(int *fd)
{
  if (*fd >= 0) {
    (void)close(*fd);
    *fd = -1;
  }
}

/* --- starting --- */

/* Away from 0, 1 and 2, which the child's own descriptors will take, and closed on exec. */
static bool move_up(int *fd)
{
  int moved = fcntl(*fd, F_DUPFD_CLOEXEC, 3);
  shut(fd);
  *fd = moved;
  return moved >= 0;
}

/* The input goes through a nameless file: no deadlock and no broken pipe when the child stops
 * reading early. */
static int open_input(const lw_child *child)
{
  if (!child->input) {
    int nothing = open("/dev/null", O_RDONLY | O_CLOEXEC);
    return nothing >= 0 && move_up(&nothing) ? nothing : -1;
  }
  FILE *file = tmpfile();
  if (!file) {
    return -1;
  }
  bool written = fwrite(child->input, 1, child->input_length, file) == child->input_length &&
                 fflush(file) == 0 && lseek(fileno(file), 0, SEEK_SET) == 0;
  int fd = written ? fcntl(fileno(file), F_DUPFD_CLOEXEC, 3) : -1;
  (void)fclose(file);
  return fd;
}

static bool open_pipe(int pair[2])
{
  if (pipe(pair) != 0) {
    pair[0] = pair[1] = -1;
    return false;
  }
  bool first = move_up(&pair[0]);
  return move_up(&pair[1]) && first && fcntl(pair[0], F_SETFL, O_NONBLOCK) == 0;
}

/* Default signals and an own process group, so that all it started can be ended with it. */
static int prepare(posix_spawn_file_actions_t *actions, posix_spawnattr_t *attributes, const ends *e)
{
  sigset_t none;
  sigset_t all;
  (void)sigemptyset(&none);
  (void)sigfillset(&all);
  int code = posix_spawn_file_actions_adddup2(actions, e->input, 0);
  code = code ? code : posix_spawn_file_actions_adddup2(actions, e->output[1], 1);
  code = code ? code : posix_spawn_file_actions_adddup2(actions, e->complaint[1], 2);
  code = code ? code : posix_spawnattr_setsigmask(attributes, &none);
  code = code ? code : posix_spawnattr_setsigdefault(attributes, &all);
  code = code ? code : posix_spawnattr_setpgroup(attributes, 0);
  short flags = POSIX_SPAWN_SETPGROUP | POSIX_SPAWN_SETSIGDEF | POSIX_SPAWN_SETSIGMASK;
  return code ? code : posix_spawnattr_setflags(attributes, flags);
}

/* The libraries the child loads start a thread a core unless told not to, and each takes part of its
 * address space. The list is freed by the caller; its strings are not. */
static char **make_environment(void)
{
  static char one_thread[] = "OMP_NUM_THREADS=1";
  static char one_thread_too[] = "OPENBLAS_NUM_THREADS=1";
  size_t n = 0;
  while (environ[n]) {
    n++;
  }
  char **list = calloc(n + 3, sizeof *list);
  if (list) {
    list[0] = one_thread;
    list[1] = one_thread_too;
    memcpy(list + 2, environ, n * sizeof *list);
  }
  return list;
}

static int start(const lw_child *child, const posix_spawn_file_actions_t *actions,
                 const posix_spawnattr_t *attributes, pid_t *pid)
{
  char *argv[sizeof child->arguments / sizeof *child->arguments + 1] = {0};
  memcpy(argv, child->arguments, sizeof child->arguments); /* posix_spawn does not change them */
  char **environment = make_environment();
  int code = environment ? posix_spawn(pid, child->program, actions, attributes, argv, environment) : ENOMEM;
  free(environment);
  return code;
}

static int spawn(const lw_child *child, ends *e)
{
  posix_spawn_file_actions_t actions;
  posix_spawnattr_t attributes;
  int code = posix_spawn_file_actions_init(&actions);
  if (code) {
    return code;
  }
  code = posix_spawnattr_init(&attributes);
  if (code == 0) {
    code = prepare(&actions, &attributes, e);
    code = code ? code : start(child, &actions, &attributes, &e->pid);
    (void)posix_spawnattr_destroy(&attributes);
  }
  (void)posix_spawn_file_actions_destroy(&actions);
  return code;
}

/* --- listening --- */

/* Takes what is there; closes the pipe at its end. False when the output grew past its limit. */
static bool take_output(lw_child *child, int *fd)
{
  static const size_t piece = 65536;
  char buffer[65536];
  ssize_t n = read(*fd, buffer, piece);
  if (n > 0) {
    lw_text_add_n(&child->output, buffer, (size_t)n);
  } else if (n == 0 || (errno != EINTR && errno != EAGAIN)) {
    shut(fd);
  }
  return !child->output.failed;
}

static void take_complaint(lw_child *child, int *fd)
{
  char buffer[4096];
  ssize_t n = read(*fd, buffer, sizeof buffer);
  if (n > 0) {
    size_t have = strlen(child->complaint);
    size_t room = LW_CHILD_COMPLAINT - have;
    size_t more = (size_t)n < room ? (size_t)n : room;
    memcpy(child->complaint + have, buffer, more);
    child->complaint[have + more] = '\0';
  } else if (n == 0 || (errno != EINTR && errno != EAGAIN)) {
    shut(fd);
  }
}

static void listen_to(lw_child *child, ends *e)
{
  while (e->output[0] >= 0 || e->complaint[0] >= 0) {
    long long left = e->deadline_ms - now_ms();
    if (left <= 0) {
      child->end = LW_CHILD_TIMEOUT;
      return;
    }
    struct pollfd waiting[2] = {{.fd = e->output[0], .events = POLLIN},
                                {.fd = e->complaint[0], .events = POLLIN}};
    if (poll(waiting, 2, (int)left) <= 0) {
      continue;
    }
    if (waiting[0].revents && !take_output(child, &e->output[0])) {
      child->end = LW_CHILD_TOO_MUCH;
      return;
    }
    if (waiting[1].revents) {
      take_complaint(child, &e->complaint[0]);
    }
  }
}

/* --- ending --- */

/* Both pipes are closed: the child is about to end, or has let go of them and goes on. */
static void wait_until_deadline(lw_child *child, const ends *e)
{
  for (;;) {
    pid_t ended = waitpid(e->pid, &child->wait_status, WNOHANG);
    if (ended == e->pid) {
      return;
    }
    if (now_ms() >= e->deadline_ms) {
      child->end = LW_CHILD_TIMEOUT;
      return;
    }
    struct timespec pause = {.tv_nsec = 1000000};
    (void)nanosleep(&pause, NULL);
  }
}

static void finish(lw_child *child, ends *e)
{
  if (child->end == LW_CHILD_ENDED) {
    wait_until_deadline(child, e);
  }
  if (child->end != LW_CHILD_ENDED) {
    (void)kill(-e->pid, SIGKILL);
    while (waitpid(e->pid, &child->wait_status, 0) < 0 && errno == EINTR) {
    }
  }
}

/* One at a time: between pipe() and close-on-exec another thread's child would inherit our ends, and
 * keep them open. */
static int open_and_spawn(const lw_child *child, ends *e)
{
  static pthread_mutex_t starting = PTHREAD_MUTEX_INITIALIZER;
  (void)pthread_mutex_lock(&starting);
  e->input = open_input(child);
  bool ready = e->input >= 0 && open_pipe(e->output) && open_pipe(e->complaint);
  int code = ready ? spawn(child, e) : errno ? errno : EIO;
  shut(&e->input);
  shut(&e->output[1]);
  shut(&e->complaint[1]);
  (void)pthread_mutex_unlock(&starting);
  return code;
}

lw_status lw_child_run(lw_child *child, lw_error *err)
{
  ends e = {.input = -1, .output = {-1, -1}, .complaint = {-1, -1}};
  child->end = LW_CHILD_ENDED;
  child->output = LW_TEXT(child->most_output ? child->most_output : LW_CHILD_OUTPUT);
  child->complaint[0] = '\0';
  int code = open_and_spawn(child, &e);
  if (code == 0) {
    e.deadline_ms = now_ms() + child->timeout_ms;
    listen_to(child, &e);
    finish(child, &e);
  }
  shut(&e.output[0]);
  shut(&e.complaint[0]);
  return code == 0 ? LW_OK
                   : lw_fail(err, LW_IO, "%s could not be started: %s", child->program, strerror(code));
}
