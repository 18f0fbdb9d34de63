/* SPDX-License-Identifier: Apache-2.0 */
#include "web/handler.h"

#include "web/answer.h"
#include "web/reply.h"

#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>

/* What a request may take in all: far above what an honest one needs. */
enum { ARENA_BYTES = 256 * 1024 * 1024, ANSWER_TIMEOUTS = 4 };

void lw_web_on_connection(void *cls, struct MHD_Connection *connection, void **socket_context,
                          enum MHD_ConnectionNotificationCode code)
{
  lw_web_server *server = cls;
  if (code == MHD_CONNECTION_NOTIFY_CLOSED) {
    if (*socket_context) {
      lw_peer_leave(&server->peers, *socket_context);
    }
    *socket_context = NULL;
    return;
  }
  const union MHD_ConnectionInfo *info =
      server->mhd->MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
  if (info) {
    *socket_context = lw_peer_join(&server->peers, info->connect_fd, server->timeout_s);
  }
}

void *lw_web_on_target(void *cls, const char *raw, struct MHD_Connection *connection)
{
  lw_web_server *server = cls;
  const union MHD_ConnectionInfo *info =
      server->mhd->MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
  lw_web_peer *peer = info ? info->socket_context : NULL;
  if (peer) {
    lw_web_request_clear(&peer->request);
    peer->request.raw = strdup(raw);
  }
  return peer;
}

size_t lw_web_unescape_nothing(void *cls, struct MHD_Connection *connection, char *text)
{
  (void)cls;
  (void)connection;
  return strlen(text);
}

static enum MHD_Result take_header(void *head, enum MHD_ValueKind kind, const char *name, const char *value)
{
  (void)kind;
  lw_web_head_take(head, name, value);
  return MHD_YES;
}

static bool read_target(lw_web_request *request)
{
  lw_error err = {.status = LW_OK};
  lw_status s = lw_web_target_read(&request->target, request->raw, request->arena, &err);
  if (s == LW_OK) {
    return true;
  }
  bool too_long = s == LW_LIMIT && request->target.count == 0;
  int http_status = s == LW_MEMORY ? 503 : (too_long ? 414 : 400);
  return lw_web_refuse(&request->fault, http_status, s, "%s", err.message);
}

/* Reads and judges the head; the verdict is request->fault. MHD_NO: no memory even for that. */
static enum MHD_Result read_head(lw_web_server *server, struct MHD_Connection *connection, const char *method,
                                 lw_web_request *request)
{
  request->head.method = method;
  request->arena = lw_arena_new(ARENA_BYTES);
  if (!request->arena || !request->raw) {
    return MHD_NO;
  }
  (void)server->mhd->MHD_get_connection_values(connection, MHD_HEADER_KIND, take_header, &request->head);
  if (atomic_load(&server->stopping)) {
    (void)lw_web_refuse(&request->fault, 503, LW_BUSY, "the server is ending; start it again");
  } else if (read_target(request)) {
    request->head.body_max = lw_web_body_max(request->target.path);
    (void)lw_web_check(&request->head, lw_web_path_is_api(request->target.path), server->port,
                       &request->fault);
  }
  return MHD_YES;
}

static enum MHD_Result begin(lw_web_server *server, struct MHD_Connection *connection, const char *method,
                             lw_web_request *request)
{
  request->stage = LW_STAGE_BODY;
  if (read_head(server, connection, method, request) == MHD_NO) {
    return MHD_NO;
  }
  const lw_web_head *head = &request->head;
  bool has_body = head->transfer_encoding || head->content_length;
  if (request->fault.http_status) {
    if (has_body) { /* answered now, the body is not read and the connection closes */
      request->stage = LW_STAGE_ANSWERED;
      return lw_web_reply_fault(server->mhd, connection, &request->fault);
    }
    return MHD_YES; /* answered when the library calls again, the connection stays */
  }
  request->body_size = lw_web_body_length(head);
  request->body = request->body_size ? malloc(request->body_size) : NULL;
  return request->body_size && !request->body ? MHD_NO : MHD_YES;
}

static enum MHD_Result take_body(lw_web_request *request, const char *upload, size_t *upload_size)
{
  if (*upload_size > request->body_size - request->body_length) {
    return MHD_NO;
  }
  memcpy(request->body + request->body_length, upload, *upload_size);
  request->body_length += *upload_size;
  *upload_size = 0;
  return MHD_YES;
}

static enum MHD_Result finish(lw_web_server *server, struct MHD_Connection *connection, lw_web_peer *peer)
{
  lw_web_request *request = &peer->request;
  request->stage = LW_STAGE_ANSWERED;
  atomic_store(&peer->answering, true);
  lw_peer_expect(peer, server->timeout_s * ANSWER_TIMEOUTS);
  return request->fault.http_status ? lw_web_reply_fault(server->mhd, connection, &request->fault)
                                    : lw_web_answer(server, connection, request);
}

enum MHD_Result lw_web_on_request(void *cls, struct MHD_Connection *connection, const char *url,
                                  const char *method, const char *version, const char *upload,
                                  size_t *upload_size, void **con_cls)
{
  (void)url;
  (void)version;
  lw_web_peer *peer = *con_cls;
  if (!peer) {
    return MHD_NO;
  }
  switch (peer->request.stage) {
  case LW_STAGE_HEAD:
    return begin(cls, connection, method, &peer->request);
  case LW_STAGE_BODY:
    return *upload_size ? take_body(&peer->request, upload, upload_size) : finish(cls, connection, peer);
  default:
    return MHD_NO;
  }
}

void lw_web_on_completed(void *cls, struct MHD_Connection *connection, void **con_cls,
                         enum MHD_RequestTerminationCode code)
{
  (void)connection;
  (void)code;
  lw_web_server *server = cls;
  lw_web_peer *peer = *con_cls;
  if (peer) {
    lw_web_request_clear(&peer->request);
    lw_peer_expect(peer, server->timeout_s);
    atomic_store(&peer->answering, false);
  }
}
