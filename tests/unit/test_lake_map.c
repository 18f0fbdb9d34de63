/* SPDX-License-Identifier: Apache-2.0 */
/* The depth map on paper: formats, text, true scale, words that keep apart, same bytes, refusals. What
 * poppler's tools look at is skipped where they are missing. */
#include "bowl.h"
#include "geo_check.h"

#include "draw/boxes.h"
#include "draw/lake_map.h"

#include <pthread.h>
#include <sys/wait.h>

/* Fontconfig keeps 288 bytes for the life of the process and forgets where. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
  return "leak:libfontconfig";
}

/* --- a map to draw --- */

static const lw_spot timber[] = {{40, -50}, {75, -60}, {95, -38}, {60, -25}};
static const lw_spot launch[] = {{-165, -18}};
static const lw_spot stumps[] = {{-20, 45}, {-10, 52}, {0, 48}};
static const lw_spot creek[] = {{180, 115}, {120, 75}, {60, 30}, {0, -5}, {-30, -60}};
static const size_t of_one[] = {0, 1}, of_ring[] = {0, 4}, of_three[] = {0, 1, 2, 3}, of_line[] = {0, 5};
static const lw_map_zone zones[] = {
    {"Old timber", "hazard", LW_ZONE_AREA, {timber, of_ring, 1, 4}},
    {"Club launch", "launch", LW_ZONE_SPOT, {launch, of_one, 1, 1}},
    {"Stumps", "hazard", LW_ZONE_SPOT, {stumps, of_three, 3, 3}},
    {"Old creek bed", "channel", LW_ZONE_LINE, {creek, of_line, 1, 5}},
};
static const char *const facts[] = {"Area 16.4 acres",
                                    "Volume 142 acre-ft (90 % interval 136 to 148 acre-ft)"};

static lw_lake_map map_of(const bowl *b, double down_m, size_t lines)
{
  bool down = down_m > 0;
  return (lw_lake_map){.name = "Upper Sedge",
                       .map = &b->map,
                       .shore = b->shore,
                       .contours = bowl_contours(b, down ? down_m : 0.5, 0.5, lines),
                       .contour_count = lines,
                       .zones = zones,
                       .zone_count = sizeof zones / sizeof *zones,
                       .down_m = down_m,
                       .units = LW_METRIC,
                       .paper = LW_PAPER_A4,
                       .date = "15 Apr 2026",
                       .level = down ? "the pool 0.5 m below full" : "the pool full",
                       .facts = facts,
                       .fact_count = 2,
                       .sources = "From 3,412 soundings of 2 surveys.",
                       .made_at = 1776240000000};
}

static lw_picture draw(void **in, const lw_lake_map *map, lw_picture_format format)
{
  state *s = *in;
  lw_picture picture = {0};
  lw_error err = {0};
  lw_status status = lw_lake_map_draw(&picture, map, format, s->arena, &err);
  if (status != LW_OK) {
    print_error("%s\n", err.message);
  }
  assert_int_equal(status, LW_OK);
  return picture;
}

static bool have(const char *tool)
{
  char command[128];
  (void)snprintf(command, sizeof command, "command -v %s >/dev/null 2>&1", tool);
  return system(command) == 0; /* NOLINT: fixed words */
}

/* What `tool options FILE extra` prints of the picture. */
static const char *seen_by(void **in, const char *tool, const char *options, const lw_picture *picture,
                           const char *extra)
{
  state *s = *in;
  if (!have(tool)) {
    skip();
  }
  const char *path = path_in(in, "picture");
  const char *out = path_in(in, "seen");
  put(path, picture->bytes, picture->length);
  const char *command =
      lw_arena_format(s->arena, "%s %s '%s' %s > '%s' 2>&1", tool, options, path, extra, out);
  assert_int_equal(system(command), 0); /* NOLINT: fixed words */
  char *text = NULL;
  size_t length = 0;
  lw_error err = {0};
  assert_int_equal(lw_file_read(out, 64 << 20, s->arena, &text, &length, &err), LW_OK);
  return text;
}

/* --- tests --- */

/* Must run first: fontconfig reads its files once a process. */
static void no_font_is_said(void **in)
{
  state *s = *in;
  bowl b = bowl_new(s->arena, 4, 1);
  lw_lake_map map = map_of(&b, 0, 8);
  static const char none[] = "<?xml version=\"1.0\"?><!DOCTYPE fontconfig SYSTEM \"fonts.dtd\"><fontconfig/>";
  put(path_in(in, "fonts.conf"), none, sizeof none - 1);
  pid_t child = fork();
  assert_true(child >= 0);
  if (child == 0) {
    lw_picture picture;
    lw_error err = {0};
    (void)setenv("FONTCONFIG_FILE", path_in(in, "fonts.conf"), 1);
    lw_status status = lw_lake_map_draw(&picture, &map, LW_PICTURE_PDF, s->arena, &err);
    _exit(status == LW_NOT_FOUND && strstr(err.message, "fonts-dejavu-core") ? 0 : 1);
  }
  int how = 0;
  assert_int_equal(waitpid(child, &how, 0), child);
  assert_true(WIFEXITED(how));
  assert_int_equal(WEXITSTATUS(how), 0);
}

static void every_format_has_its_form(void **in)
{
  state *s = *in;
  bowl b = bowl_new(s->arena, 2, 1);
  lw_lake_map map = map_of(&b, 0, 11);
  lw_picture svg = draw(in, &map, LW_PICTURE_SVG);
  assert_holds(svg.bytes, "<title id=\"t\">Upper Sedge: depth map</title>");
  assert_holds(svg.bytes, "<desc id=\"d\">Depths with the pool full. Area 16.4 acres");
  assert_memory_equal(draw(in, &map, LW_PICTURE_PNG).bytes, "\x89PNG\r\n\x1a\n", 8);
  assert_memory_equal(draw(in, &map, LW_PICTURE_PDF).bytes, "%PDF-1.", 7);
  assert_close(svg.width_mm, 297, 0.01);
  assert_close(svg.height_mm, 210, 0.01);
  assert_close(svg.scale, 2000, 0);
}

static void the_paper_follows_the_water(void **in)
{
  state *s = *in;
  bowl tall = bowl_new(s->arena, 4, 2);
  lw_lake_map map = map_of(&tall, 0, 8);
  map.paper = LW_PAPER_LETTER;
  lw_picture picture = draw(in, &map, LW_PICTURE_PDF);
  assert_close(picture.width_mm, 215.9, 0.01);
  assert_close(picture.height_mm, 279.4, 0.01);
}

static void the_same_input_gives_the_same_bytes(void **in)
{
  state *s = *in;
  bowl b = bowl_new(s->arena, 4, 1);
  lw_lake_map map = map_of(&b, 0, 8);
  for (int f = 0; f < 3; f++) {
    lw_picture first = draw(in, &map, (lw_picture_format)f);
    lw_picture again = draw(in, &map, (lw_picture_format)f);
    assert_int_equal(first.length, again.length);
    assert_memory_equal(first.bytes, again.bytes, first.length);
  }
  lw_picture now = draw(in, &map, LW_PICTURE_PDF);
  map.made_at += 86400000;
  lw_picture later = draw(in, &map, LW_PICTURE_PDF);
  assert_true(now.length != later.length || memcmp(now.bytes, later.bytes, now.length) != 0);
}

typedef struct job {
  const lw_lake_map *map;
  lw_arena *arena;
  lw_picture picture;
  lw_status status;
} job;

static void *do_job(void *data)
{
  job *j = data;
  for (int i = 0; i < 4 && j->status == LW_OK; i++) {
    j->status = lw_lake_map_draw(&j->picture, j->map, LW_PICTURE_SVG, j->arena, NULL);
  }
  return NULL;
}

static void threads_may_draw_at_once(void **in)
{
  enum { THREADS = 4 };
  state *s = *in;
  bowl b = bowl_new(s->arena, 4, 1);
  lw_lake_map map = map_of(&b, 0, 8);
  pthread_t threads[THREADS];
  job jobs[THREADS];
  for (int i = 0; i < THREADS; i++) {
    jobs[i] = (job){.map = &map, .arena = lw_arena_new(0)};
    assert_int_equal(pthread_create(&threads[i], NULL, do_job, &jobs[i]), 0);
  }
  for (int i = 0; i < THREADS; i++) {
    assert_int_equal(pthread_join(threads[i], NULL), 0);
    assert_int_equal(jobs[i].status, LW_OK);
    assert_int_equal(jobs[i].picture.length, jobs[0].picture.length);
    assert_memory_equal(jobs[i].picture.bytes, jobs[0].picture.bytes, jobs[0].picture.length);
  }
  for (int i = 0; i < THREADS; i++) {
    lw_arena_free(jobs[i].arena);
  }
}

/* With runs of white space as one space. */
static const char *words_of(void **in, const lw_picture *pdf)
{
  state *s = *in;
  char *text = lw_arena_copy(s->arena, seen_by(in, "pdftotext", "-raw", pdf, "-"));
  char *to = text;
  for (const char *at = text; *at; at++) {
    bool space = *at == ' ' || *at == '\n';
    if (!space || (to > text && to[-1] != ' ')) {
      *to++ = space ? ' ' : *at;
    }
  }
  *to = '\0';
  return text;
}

static void the_pdf_holds_text(void **in)
{
  state *s = *in;
  bowl b = bowl_new(s->arena, 2, 1);
  lw_lake_map map = map_of(&b, 0, 11);
  map.name = "Lac d'\xC3\x89t\xC3\xA9 & Co <3>";
  lw_picture pdf = draw(in, &map, LW_PICTURE_PDF);
  const char *words = words_of(in, &pdf);
  static const char *const wanted[] = {
      "Lac d'\xC3\x89t\xC3\xA9 & Co <3>",
      "Depths in metres with the pool full \xC2\xB7 15 Apr 2026",
      "Not for navigation. Depths may have changed; stumps and shoals may be missing.",
      "Old timber (hazard)",
      "Club launch",
      "Stumps (hazard)",
      "Old creek bed (channel)",
      "Volume 142 acre-ft (90 % interval 136 to 148",
      "From 3,412 soundings of 2 surveys.",
      "Scale 1:2,000 when printed at 100 %",
      "A line every 0.5 m.",
      "Depth, m",
      "0 to 1",
      "5 and more",
      "5.2 m"};
  for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
    assert_holds(words, wanted[i]);
  }
  assert_null(strstr(words, "dry at this level"));
}

static void fonts_are_in_the_pdf(void **in)
{
  state *s = *in;
  bowl b = bowl_new(s->arena, 4, 1);
  lw_lake_map map = map_of(&b, 0, 8);
  lw_picture pdf = draw(in, &map, LW_PICTURE_PDF);
  const char *table = seen_by(in, "pdffonts", "", &pdf, "");
  const char *line = strstr(table, "\n---");
  assert_non_null(line);
  int fonts = 0;
  for (line = strchr(line + 1, '\n'); line && line[1]; line = strchr(line + 1, '\n')) {
    assert_true(line[8] == '+' || line[7] == '+'); /* a subset's tag: ABCDEF+ */
    assert_holds(line, " yes yes yes ");           /* embedded, subset, with Unicode */
    fonts++;
  }
  assert_true(fonts >= 2);
}

/* A basin 200 m by 100 m: its width on paper, measured in the rendered PDF at 254 dots an inch. */
static void the_scale_is_true(void **in)
{
  state *s = *in;
  enum { DPI = 254 };
  static const lw_spot corner[] = {{-100, -50}, {100, -50}, {100, 50}, {-100, 50}};
  float depth[4] = {1, 1, 1, 1}, cover[1] = {1};
  lw_depth_map flat = {.frame = {2, 2, 200, -100, -100}, .depth_m = depth, .cover = cover};
  lw_lake_map map = {
      .name = "Tank", .map = &flat, .shore = {corner, of_ring, 1, 4}, .date = "", .level = "the pool full"};
  lw_picture pdf = draw(in, &map, LW_PICTURE_PDF);
  const char *image = seen_by(in, "pdftoppm", lw_arena_format(s->arena, "-r %d", DPI), &pdf, "");
  int wide = 0, high = 0, end = 0;
  assert_int_equal(sscanf(image, "P6 %d %d 255%n", &wide, &high, &end), 2);
  assert_close(wide, 11 * DPI, 1);
  assert_true(end > 0);
  const unsigned char *pixels = (const unsigned char *)image + end + 1;
  /* 40 % down the sheet lies in the basin; the map ends before 70 % of the width */
  const unsigned char *row = pixels + (size_t)3 * (size_t)wide * (size_t)(high * 4 / 10);
  int first = -1, last = -1;
  for (int x = 0; x < wide * 7 / 10; x++) {
    bool water = row[3 * x + 2] > 240 && row[3 * x] < 240 && row[3 * x] > 200; /* the palest blue */
    first = water && first < 0 ? x : first;
    last = water ? x : last;
  }
  double line_dots = 1.1 / 72 * DPI; /* half the shore's line at either end */
  double metres = (last - first + 1 + line_dots) / DPI * 0.0254 * pdf.scale;
  assert_close(metres, 200, 0.4);
}

static void with_the_pool_down_the_bank_is_dry(void **in)
{
  state *s = *in;
  bowl b = bowl_new(s->arena, 2, 1);
  lw_lake_map map = map_of(&b, 0.5, 10);
  map.units = LW_US;
  lw_picture pdf = draw(in, &map, LW_PICTURE_PDF);
  const char *words = words_of(in, &pdf);
  assert_holds(words, "dry at this level");
  assert_holds(words, "15.4 ft"); /* the deepest, 5.2 m, less 0.5 m */
  map.contours++;
  map.contour_count--;
  lw_picture picture;
  lw_error err = {0};
  assert_int_equal(lw_lake_map_draw(&picture, &map, LW_PICTURE_PDF, s->arena, &err), LW_INVALID);
  assert_holds(err.message, "no contour lies at 0.5 m");
}

typedef struct word_box {
  double left, top, right, bottom;
} word_box;

/* Thirty hazards in a heap: their words keep apart, and none is left out. */
static void words_keep_apart(void **in)
{
  state *s = *in;
  enum { HEAP = 30 };
  bowl b = bowl_new(s->arena, 2, 1);
  lw_lake_map map = map_of(&b, 0, 11);
  lw_map_zone heap[HEAP];
  lw_spot spots[HEAP];
  for (int i = 0; i < HEAP; i++) {
    spots[i] = (lw_spot){20 + 9.0 * (i % 6), -40 + 7.0 * (double)(i / 6)};
    heap[i] = (lw_map_zone){
        lw_arena_format(s->arena, "Stump%d", i), "hazard", LW_ZONE_SPOT, {&spots[i], of_one, 1, 1}};
  }
  map.zones = heap;
  map.zone_count = HEAP;
  lw_picture pdf = draw(in, &map, LW_PICTURE_PDF);
  const char *at = seen_by(in, "pdftotext", "-bbox", &pdf, "-");
  word_box boxes[HEAP + 1];
  int count = 0;
  while ((at = strstr(at, "<word ")) != NULL) {
    word_box w;
    char text[16];
    int read = sscanf(at, "<word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf\">%15[^<]", &w.left,
                      &w.top, &w.right, &w.bottom, text);
    at++;
    if (read == 5 && strncmp(text, "Stump", 5) == 0 && count <= HEAP) {
      boxes[count++] = w;
    }
  }
  assert_int_equal(count, HEAP);
  for (int i = 0; i < HEAP; i++) {
    for (int k = 0; k < i; k++) {
      bool apart = boxes[i].left >= boxes[k].right - 0.5 || boxes[k].left >= boxes[i].right - 0.5 ||
                   boxes[i].top >= boxes[k].bottom - 1.5 || boxes[k].top >= boxes[i].bottom - 1.5;
      assert_true(apart);
    }
  }
}

/* Against points of one tile tried in the other. */
static void tiles_meet_as_their_points_do(void **in)
{
  (void)in;
  uint32_t random = 12345;
  for (int trial = 0; trial < 4000; trial++) {
    double v[10];
    for (int i = 0; i < 10; i++) {
      random = random * 1664525u + 1013904223u;
      v[i] = (double)(random >> 8) / 16777216.0;
    }
    lw_tile a = {v[0] * 20, v[1] * 20, 2 + v[2] * 14, 1 + v[3] * 4, v[4] * 3};
    lw_tile z = {v[5] * 20, v[6] * 20, 2 + v[7] * 14, 1 + v[8] * 4, v[9] * 3};
    double least = INFINITY; /* how far the nearest point of a lies out of z; below 0: inside */
    for (int i = 0; i <= 60; i++) {
      for (int k = 0; k <= 60; k++) {
        double along = (i / 60.0 - 0.5) * a.width, across = (k / 60.0 - 0.5) * a.height;
        double x = a.x + along * cos(a.angle) - across * sin(a.angle) - z.x;
        double y = a.y + along * sin(a.angle) + across * cos(a.angle) - z.y;
        double out_along = fabs(x * cos(z.angle) + y * sin(z.angle)) - z.width / 2;
        double out_across = fabs(-x * sin(z.angle) + y * cos(z.angle)) - z.height / 2;
        least = fmin(least, fmax(out_along, out_across));
      }
    }
    if (fabs(least) > 0.3) { /* nearer, the points are too coarse to tell */
      assert_int_equal(lw_tiles_meet(&a, &z), least < 0);
      assert_int_equal(lw_tiles_meet(&z, &a), least < 0);
    }
  }
}

static uint32_t crc_of(const unsigned char *data, size_t length)
{
  uint32_t table[256];
  for (uint32_t n = 0; n < 256; n++) {
    uint32_t c = n;
    for (int k = 0; k < 8; k++) {
      c = c & 1 ? 0xEDB88320u ^ (c >> 1) : c >> 1;
    }
    table[n] = c;
  }
  uint32_t crc = 0xFFFFFFFFu;
  for (size_t i = 0; i < length; i++) {
    crc = table[(crc ^ data[i]) & 255] ^ (crc >> 8);
  }
  return ~crc;
}

static uint32_t u32_at(const unsigned char *at)
{
  return (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | at[3];
}

/* The checksum of every chunk, those of the library too; and the size that the file says it has. */
static void the_png_knows_its_size(void **in)
{
  state *s = *in;
  bowl b = bowl_new(s->arena, 4, 1);
  lw_lake_map map = map_of(&b, 0, 8);
  lw_picture png = draw(in, &map, LW_PICTURE_PNG);
  const unsigned char *bytes = (const unsigned char *)png.bytes;
  uint32_t per_metre = 0, wide = 0;
  for (size_t at = 8; at + 12 <= png.length;) {
    uint32_t length = u32_at(bytes + at);
    assert_true(length < png.length && at + 12 + length <= png.length);
    assert_int_equal(u32_at(bytes + at + 8 + length), crc_of(bytes + at + 4, length + 4));
    wide = memcmp(bytes + at + 4, "IHDR", 4) == 0 ? u32_at(bytes + at + 8) : wide;
    per_metre = memcmp(bytes + at + 4, "pHYs", 4) == 0 ? u32_at(bytes + at + 8) : per_metre;
    at += 12 + length;
  }
  assert_true(per_metre > 0);
  assert_close((double)wide / per_metre * 1000, png.width_mm, 0.1);
}

static void odd_waters_are_drawn(void **in)
{
  state *s = *in;
  bowl b = bowl_new(s->arena, 4, 1);
  lw_lake_map map = map_of(&b, 0, 8);
  static const lw_spot tiny[] = {{0, 0}, {1e-3, 0}, {0, 1e-3}};
  static const size_t three[] = {0, 3};
  static const lw_spot far_off[] = {{9e5, -9e5}};
  static const lw_map_zone away = {"", "spillway", LW_ZONE_SPOT, {far_off, of_one, 1, 1}};
  char longest[LW_MAP_TEXT_MOST + 1];
  memset(longest, 'W', LW_MAP_TEXT_MOST);
  longest[LW_MAP_TEXT_MOST] = '\0';
  const char *many[LW_MAP_FACTS];
  for (int i = 0; i < LW_MAP_FACTS; i++) {
    many[i] = longest;
  }
  for (int f = 0; f < 3; f++) {
    lw_lake_map odd = map;
    odd.contour_count = 0;
    odd.zones = &away;
    odd.zone_count = 1;
    odd.sources = NULL;
    odd.date = "";
    (void)draw(in, &odd, (lw_picture_format)f);
    odd.shore = (lw_shore){tiny, three, 1, 3};
    odd.name = odd.sources = odd.level = odd.date = longest;
    odd.facts = many;
    odd.fact_count = LW_MAP_FACTS;
    (void)draw(in, &odd, (lw_picture_format)f);
  }
}

static void refuse(void **in, const lw_lake_map *map, lw_status wanted, const char *piece)
{
  state *s = *in;
  lw_picture picture = {0};
  lw_error err = {0};
  assert_int_equal(lw_lake_map_draw(&picture, map, LW_PICTURE_SVG, s->arena, &err), wanted);
  assert_holds(err.message, piece);
  assert_null(picture.bytes);
}

static void what_cannot_be_drawn_is_refused(void **in)
{
  state *s = *in;
  bowl b = bowl_new(s->arena, 4, 1);
  const lw_lake_map good = map_of(&b, 0, 8);
  lw_lake_map bad = good;
  bad.name = "tab\there";
  refuse(in, &bad, LW_INVALID, "the name");
  bad = good;
  bad.name = "\xFF\xFE";
  refuse(in, &bad, LW_INVALID, "clean UTF-8");
  bad = good;
  bad.fact_count = LW_MAP_FACTS + 1;
  refuse(in, &bad, LW_LIMIT, "lines of facts");
  bad = good;
  bad.shore.ring_count = 0;
  refuse(in, &bad, LW_INVALID, "no outline");
  lw_spot broken[] = {{0, 0}, {10, 0}, {NAN, 10}};
  static const size_t three[] = {0, 3};
  bad = good;
  bad.shore = (lw_shore){broken, three, 1, 3};
  refuse(in, &bad, LW_INVALID, "spot 3 of the outline");
  lw_spot vast[] = {{-9e5, 0}, {9e5, 0}, {0, 9e5}};
  bad.shore = (lw_shore){vast, three, 1, 3};
  refuse(in, &bad, LW_LIMIT, "too large for a map");
  bad = good;
  bad.down_m = -1;
  refuse(in, &bad, LW_INVALID, "expected 0 to 100 m");
  bad = good;
  lw_map_zone odd = {"x", "wreck", LW_ZONE_SPOT, {launch, of_one, 1, 1}};
  bad.zones = &odd;
  bad.zone_count = 1;
  refuse(in, &bad, LW_INVALID, "'wreck' is no kind of zone");
  odd = (lw_map_zone){"x", "bay", LW_ZONE_AREA, {launch, of_one, 1, 1}};
  refuse(in, &bad, LW_INVALID, "at least 3 spots");
  bad = good;
  lw_contour twice[2] = {good.contours[0], good.contours[0]};
  bad.contours = twice;
  bad.contour_count = 2;
  refuse(in, &bad, LW_INVALID, "depths should grow");
}

static void the_svg_is_well_formed(void **in)
{
  state *s = *in;
  bowl b = bowl_new(s->arena, 4, 1);
  lw_lake_map map = map_of(&b, 0, 8);
  map.name = "A & B <c> \"d\"";
  lw_picture svg = draw(in, &map, LW_PICTURE_SVG);
  assert_holds(svg.bytes, "A &amp; B &lt;c&gt; \"d\": depth map</title>");
  (void)seen_by(in, "xmllint", "--noout --nonet", &svg, "");
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      TEST(no_font_is_said), /* first */
      TEST(every_format_has_its_form),
      TEST(the_paper_follows_the_water),
      TEST(the_same_input_gives_the_same_bytes),
      TEST(threads_may_draw_at_once),
      TEST(the_pdf_holds_text),
      TEST(fonts_are_in_the_pdf),
      TEST(the_scale_is_true),
      TEST(with_the_pool_down_the_bank_is_dry),
      TEST(words_keep_apart),
      TEST(tiles_meet_as_their_points_do),
      TEST(the_png_knows_its_size),
      TEST(odd_waters_are_drawn),
      TEST(what_cannot_be_drawn_is_refused),
      TEST(the_svg_is_well_formed),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
