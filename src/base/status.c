/* SPDX-License-Identifier: Apache-2.0 */
#include "base/status.h"

#include "base/utf8.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static const struct {
  const char *id;
  int exit_code;
} statuses[LW_STATUS_COUNT] = {
#define LW_STATUS_ROW(code, id, exit_code) [code] = {id, exit_code},
    LW_STATUS_LIST(LW_STATUS_ROW)
#undef LW_STATUS_ROW
};

/* Messages quote what people typed, cut to size. Cut or malformed characters would make the JSON that
 * carries a message invalid, and control characters could play with a terminal: both become '?'. */
static void make_presentable(char *text)
{
  size_t n = strlen(text);
  size_t kept = 0;
  for (size_t i = 0; i < n;) {
    size_t length = lw_utf8_length(text + i, n - i);
    if (length == 0 || lw_utf8_is_control(text + i, length)) {
      text[kept++] = '?';
      i += length ? length : 1;
      continue;
    }
    memmove(text + kept, text + i, length);
    kept += length;
    i += length;
  }
  text[kept] = '\0';
}

static void write_message(lw_error *err, lw_status status, const char *format, va_list args) LW_PRINTF(3, 0);

static void write_message(lw_error *err, lw_status status, const char *format, va_list args)
{
  err->status = status;
  (void)vsnprintf(err->message, sizeof err->message, format, args);
  make_presentable(err->message);
}

lw_status lw_fail(lw_error *err, lw_status status, const char *format, ...)
{
  if (err) {
    va_list args;
    va_start(args, format);
    write_message(err, status, format, args);
    va_end(args);
  }
  return status;
}

lw_status lw_fail_at(lw_error *err, lw_status status, const char *file, long line, long column,
                     const char *format, ...)
{
  if (err) {
    va_list args;
    va_start(args, format);
    write_message(err, status, format, args);
    va_end(args);
    if (file) {
      (void)snprintf(err->file, sizeof err->file, "%s", file);
      make_presentable(err->file);
    }
    err->line = line;
    err->column = column;
  }
  return status;
}

void lw_error_prefix(lw_error *err, const char *format, ...)
{
  if (!err || err->status == LW_OK) {
    return;
  }
  char old[LW_MESSAGE_MAX];
  char prefix[LW_MESSAGE_MAX];
  memcpy(old, err->message, sizeof old);
  va_list args;
  va_start(args, format);
  (void)vsnprintf(prefix, sizeof prefix, format, args);
  va_end(args);
  (void)lw_fail(err, err->status, "%s: %s", prefix, old);
}

const char *lw_status_id(lw_status status)
{
  return (unsigned)status < LW_STATUS_COUNT ? statuses[status].id : "internal";
}

int lw_status_exit_code(lw_status status)
{
  return (unsigned)status < LW_STATUS_COUNT ? statuses[status].exit_code : 1;
}
