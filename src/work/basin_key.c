/* SPDX-License-Identifier: Apache-2.0 */
#include "work/basin_parts.h"

#include <jansson.h>
#include <sodium.h>
#include <stdio.h>
#include <string.h>

/* Raised whenever the same inputs give another bed. */
#define RECKONING "lakeward bed 2 " LW_VERSION

enum { DIGEST = 24 };

size_t lw_surveys_used(const lw_bed_sources *sources)
{
  size_t used = 0;
  for (size_t i = 0; i < sources->survey_count; i++) {
    used += sources->surveys[i].used;
  }
  return used;
}

bool lw_is_channel(const lw_zone *zone)
{
  return strcmp(zone->kind, "channel") == 0 && zone->outline && !lw_geometry_has_area(zone->outline);
}

/* Each piece with its length or its bytes as they are, so that no two lists of pieces run together. */
static void add_text(crypto_generichash_state *state, const char *text)
{
  uint64_t length = text ? strlen(text) : UINT64_MAX;
  (void)crypto_generichash_update(state, (const unsigned char *)&length, sizeof length);
  if (text) {
    (void)crypto_generichash_update(state, (const unsigned char *)text, length);
  }
}

static void add_number(crypto_generichash_state *state, double number)
{
  number = number == 0 ? 0 : number; /* -0 is 0 */
  (void)crypto_generichash_update(state, (const unsigned char *)&number, sizeof number);
}

static void add_maybe(crypto_generichash_state *state, lw_maybe value)
{
  add_number(state, value.known);
  add_number(state, value.known ? value.value : 0);
}

/* The soundings by the digest under which the store keeps them: the text itself may be megabytes. */
static lw_status add_soundings(crypto_generichash_state *state, const lw_survey *survey, const lw_desk *desk,
                               lw_error *err)
{
  lw_version *versions = NULL;
  size_t count = 0;
  lw_status s =
      lw_store_versions(desk->store, LW_KIND_SURVEY, survey->id, desk->arena, &versions, &count, err);
  if (s != LW_OK) {
    return s;
  }
  /* the body is the store's own writing; read by hand, so that a shortage of memory cannot be taken for
   * damage */
  const char *member = count ? strstr(versions[count - 1].body, "\"soundings\"") : NULL;
  const char *digest = member ? strchr(member + strlen("\"soundings\""), '"') : NULL;
  const char *end = digest ? strchr(digest + 1, '"') : NULL;
  if (!end) {
    return lw_fail(err, LW_CORRUPT, "survey %lld has no soundings; go back to a backup",
                   (long long)survey->id);
  }
  (void)crypto_generichash_update(state, (const unsigned char *)digest, (size_t)(end - digest));
  return LW_OK;
}

static lw_status add_survey(crypto_generichash_state *state, const lw_survey *survey, const lw_desk *desk,
                            lw_error *err)
{
  add_number(state, (double)survey->id);
  add_maybe(state, survey->level_m);
  add_maybe(state, survey->offset_m);
  add_text(state, survey->kept);
  add_text(state, survey->dropped);
  return add_soundings(state, survey, desk, err);
}

static lw_status add_sources(crypto_generichash_state *state, const lw_bed_sources *sources,
                             const lw_desk *desk, lw_error *err)
{
  lw_status s = LW_OK;
  add_text(state, sources->water->outline);
  add_maybe(state, sources->water->max_depth_m);
  add_maybe(state, sources->water->mean_depth_m);
  for (size_t i = 0; s == LW_OK && i < sources->survey_count; i++) {
    if (sources->surveys[i].used) {
      s = add_survey(state, &sources->surveys[i], desk, err);
    }
  }
  add_text(state, "channels");
  for (size_t i = 0; i < sources->zone_count; i++) {
    if (lw_is_channel(&sources->zones[i])) {
      add_text(state, sources->zones[i].outline);
    }
  }
  return s;
}

lw_status lw_bed_key(char out[LW_BED_KEY], const lw_bed_sources *sources, double step_m, const lw_desk *desk,
                     lw_error *err)
{
  crypto_generichash_state state;
  unsigned char digest[DIGEST];
  char hex[2 * DIGEST + 1];
  (void)crypto_generichash_init(&state, NULL, 0, DIGEST);
  add_text(&state, RECKONING);
  add_number(&state, step_m);
  lw_status s = add_sources(&state, sources, desk, err);
  (void)crypto_generichash_final(&state, digest, sizeof digest);
  (void)snprintf(out, LW_BED_KEY, "bed %s", sodium_bin2hex(hex, sizeof hex, digest, sizeof digest));
  return s;
}
