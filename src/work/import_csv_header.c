/* SPDX-License-Identifier: Apache-2.0 */
/* The header of a table: what each column means and in which unit. Names are taken as the command line
 * takes them; capitals, spaces, '-' and '_' make no difference. */
#include "work/import_csv_parts.h"

#include "work/shelf_rules.h"

#include "base/text.h"
#include "base/units.h"

#include <ctype.h>
#include <string.h>

enum { KEY = 80 };

typedef struct column_word {
  const char *name;
  lw_import_role role;
  unsigned kinds; /* bits of lw_kind_id */
} column_word;

#define OF(kind) (1u << LW_KIND_##kind)
#define DATED (OF(READING) | OF(TREATMENT) | OF(LOT) | OF(NOTE) | OF(WEATHER))

/* The first name of a role is the one in messages. */
static const column_word words[] = {
    {"water", LW_IMPORT_WATER, OF(READING) | OF(TREATMENT) | OF(NOTE) | OF(WEATHER)},
    {"date", LW_IMPORT_DATE, DATED},
    {"day", LW_IMPORT_DATE, DATED},
    {"on", LW_IMPORT_DATE, DATED},
    {"time", LW_IMPORT_TIME, OF(READING)},
    {"quantity", LW_IMPORT_QUANTITY, OF(READING)},
    {"value", LW_IMPORT_VALUE, OF(READING)},
    {"unit", LW_IMPORT_UNIT, OF(READING)},
    {"material", LW_IMPORT_MATERIAL, OF(LOT) | OF(TREATMENT)},
    {"amount", LW_IMPORT_AMOUNT, OF(TREATMENT)},
    {"mass", LW_IMPORT_AMOUNT, OF(TREATMENT)},
    {"volume", LW_IMPORT_AMOUNT, OF(TREATMENT)},
    {"packages", LW_IMPORT_PACKAGES, OF(LOT) | OF(TREATMENT)},
    {"zone", LW_IMPORT_ZONE, OF(TREATMENT)},
    {"package", LW_IMPORT_PACKAGE, OF(MATERIAL)},
    {"price", LW_IMPORT_PRICE, OF(MATERIAL) | OF(LOT)},
    {"forecast", LW_IMPORT_FORECAST, OF(WEATHER)},
    {"issued", LW_IMPORT_ISSUED, OF(WEATHER)},
};

enum { WORDS = sizeof words / sizeof words[0] };

/* "Weed Cover" -> "weed_cover"; what is too long to be a name becomes "". */
static void fold(const char *text, char out[KEY])
{
  size_t n = strlen(text);
  n = n < KEY ? n : 0;
  for (size_t i = 0; i < n; i++) {
    out[i] = text[i] == ' ' || text[i] == '-' ? '_' : (char)tolower((unsigned char)text[i]);
  }
  out[n] = '\0';
}

static bool same_folded(const char *name, const char *key)
{
  char folded[KEY];
  fold(name, folded);
  return strcmp(folded, key) == 0;
}

/* The end of a member's name that says its unit: "_m3_s" for "m3/s". */
static void unit_suffix(const char *unit, char out[KEY + 1])
{
  const char *word = strcmp(unit, "degC") == 0 ? "c" : strcmp(unit, "%") == 0 ? "pct" : unit;
  out[0] = '_';
  fold(word, out + 1);
  for (char *p = out; *p; p++) {
    *p = *p == '/' ? '_' : *p;
  }
}

/* Length of a member's name without its unit. */
static size_t stem_length(const lw_column *member)
{
  char suffix[KEY + 1];
  size_t n = strlen(member->name);
  if (!member->unit || !*member->unit) {
    return n;
  }
  unit_suffix(member->unit, suffix);
  size_t m = strlen(suffix);
  return n > m && strcmp(member->name + n - m, suffix) == 0 ? n - m : n;
}

static bool find_word(const lw_importing *job, const char *key, lw_import_column *out)
{
  for (size_t i = 0; i < WORDS; i++) {
    if ((words[i].kinds >> job->kind & 1u) && strcmp(words[i].name, key) == 0) {
      out->role = words[i].role;
      return true;
    }
  }
  return false;
}

static bool find_quantity(const lw_importing *job, const char *key, lw_import_column *out)
{
  for (int i = 0; job->kind == LW_KIND_READING && i < LW_QUANTITY_COUNT; i++) {
    if (same_folded(lw_quantities[i].name, key)) {
      out->role = LW_IMPORT_READING;
      out->quantity = &lw_quantities[i];
      return true;
    }
  }
  return false;
}

/* The form sets texts and numbers; the rest have roles of their own. */
static bool is_plain_member(const lw_column *member)
{
  return (member->type == LW_COLUMN_TEXT && member->rule != LW_RULE_QUANTITY) ||
         member->type == LW_COLUMN_MAYBE;
}

/* By the member's name with or without its unit, or by its label. "package_kg" is "package" in kg. */
static bool find_member(const lw_importing *job, const char *key, lw_import_column *out)
{
  const lw_kind *kind = &lw_kinds[job->kind];
  for (size_t i = 0; i < kind->column_count; i++) {
    const lw_column *member = &kind->columns[i];
    size_t stem = stem_length(member);
    char short_name[KEY] = "";
    memcpy(short_name, member->name, stem < KEY ? stem : 0);
    bool whole = strcmp(member->name, key) == 0;
    if (!whole && strcmp(short_name, key) != 0 && !same_folded(member->label, key)) {
      continue;
    }
    if (whole && member->name[stem]) {
      if (*out->unit && strcmp(out->unit, member->unit) != 0) {
        return false; /* "depth_m (ft)" */
      }
      out->unit = member->unit;
    }
    if (find_word(job, short_name, out)) {
      return true;
    }
    out->role = LW_IMPORT_MEMBER;
    out->member = member;
    return is_plain_member(member);
  }
  return false;
}

/* ---- units ---- */

static bool measures(const char *unit, const char *kept)
{
  double ignored = 0;
  return lw_convert(&ignored, 1, unit, kept, NULL) == LW_OK;
}

/* The unit a column's numbers are kept in; NULL where its cells take no unit. */
static const char *kept_unit(const lw_import_column *c)
{
  switch (c->role) {
  case LW_IMPORT_READING:
    return c->quantity->choices ? NULL : c->quantity->unit;
  case LW_IMPORT_MEMBER:
    return c->member->type == LW_COLUMN_TEXT ? NULL : c->member->unit;
  case LW_IMPORT_AMOUNT:
  case LW_IMPORT_PACKAGE:
    return "kg";
  case LW_IMPORT_PRICE:
    return "$";
  default:
    return NULL;
  }
}

static void check_unit(lw_importing *job, const lw_csv_cell *at, const lw_import_column *c)
{
  lw_unit ignored;
  lw_error fault = {0};
  const char *kept = kept_unit(c);
  bool counted =
      (c->role == LW_IMPORT_AMOUNT || c->role == LW_IMPORT_PACKAGES) && lw_is_package_word(c->unit);
  bool poured = (c->role == LW_IMPORT_AMOUNT || c->role == LW_IMPORT_PACKAGE) && measures(c->unit, "L");
  if (!*c->unit || counted || poured) {
    return;
  }
  if (c->role == LW_IMPORT_VALUE) { /* of which quantity the rows say */
    (void)lw_import_good(job, at, lw_unit_parse(&ignored, c->unit, &fault), &fault);
    return;
  }
  const char *fit = lw_import_units_for(kept);
  if (kept && (fit || strcmp(kept, "$") == 0) && measures(c->unit, kept)) {
    return;
  }
  if (fit) {
    bool volume_too = c->role == LW_IMPORT_AMOUNT || c->role == LW_IMPORT_PACKAGE;
    lw_import_fault(job, at, "'%.40s' is not a unit of %.40s; what fits is %s%s%s%s", c->unit, c->name, fit,
                    volume_too ? ", " : "", volume_too ? lw_import_units_for("L") : "",
                    c->role == LW_IMPORT_AMOUNT ? ", or packages" : "");
  } else {
    lw_import_fault(job, at, "the column %.60s takes no unit; leave out '(%.40s)'", c->name, c->unit);
  }
}

/* ---- columns ---- */

static void list_names(const lw_importing *job, lw_text *out)
{
  unsigned told = 0;
  for (size_t i = 0; i < WORDS; i++) {
    if ((words[i].kinds >> job->kind & 1u) && !(told >> words[i].role & 1u)) {
      lw_text_addf(out, "%s%s", out->length ? ", " : "", words[i].name);
      told |= 1u << words[i].role;
    }
  }
  const lw_kind *kind = &lw_kinds[job->kind];
  for (size_t i = 0; i < kind->column_count; i++) {
    lw_import_column found = {.unit = ""};
    char name[KEY] = "";
    size_t n = stem_length(&kind->columns[i]);
    memcpy(name, kind->columns[i].name, n < KEY ? n : 0);
    if (is_plain_member(&kind->columns[i]) && !find_word(job, name, &found)) {
      lw_text_addf(out, ", %s", name);
    }
  }
  for (int i = 0; job->kind == LW_KIND_READING && i < LW_QUANTITY_COUNT; i++) {
    lw_text_addf(out, ", %s", lw_quantities[i].name);
  }
}

static void refuse_column(lw_importing *job, const lw_csv_cell *at, const char *name)
{
  lw_text names = LW_TEXT(800);
  list_names(job, &names);
  lw_import_fault(job, at, "a table of %s has no column '%.60s'; it may have %s", lw_kinds[job->kind].plural,
                  name, lw_text_view(&names));
  lw_text_free(&names);
}

/* Two columns for one thing: which would count? */
static bool refuse_second(lw_importing *job, size_t index)
{
  const lw_import_column *c = &job->columns[index];
  for (size_t i = 0; i < index; i++) {
    const lw_import_column *before = &job->columns[i];
    if (before->name && before->role == c->role && before->member == c->member &&
        before->quantity == c->quantity) {
      lw_import_fault(job, &job->csv.header[index],
                      "the columns '%.60s' and '%.60s' say the same thing; keep one", before->name, c->name);
      return true;
    }
  }
  return false;
}

static void settle_column(lw_importing *job, size_t index)
{
  const lw_csv_cell *at = &job->csv.header[index];
  lw_import_column column = {.role = LW_IMPORT_MEMBER};
  const char *name = NULL;
  char key[KEY];
  lw_error fault = {0};
  if (!lw_import_good(job, at, lw_csv_split_unit(at, job->desk->arena, &name, &column.unit, &fault),
                      &fault)) {
    return;
  }
  fold(name, key);
  if (!*key ||
      !(find_word(job, key, &column) || find_quantity(job, key, &column) || find_member(job, key, &column))) {
    refuse_column(job, at, name);
    return;
  }
  column.name = name;
  job->columns[index] = column;
  if (!refuse_second(job, index)) {
    check_unit(job, at, &column);
    int *first = &job->role_at[column.role];
    *first = *first < 0 ? (int)index : *first;
  }
}

void lw_import_header(lw_importing *job)
{
  for (size_t role = 0; role < LW_IMPORT_ROLES; role++) {
    job->role_at[role] = -1;
  }
  for (size_t i = 0; i < job->csv.column_count; i++) {
    settle_column(job, i);
  }
  if (job->given_water && job->role_at[LW_IMPORT_WATER] >= 0) {
    lw_import_fault(job, &job->csv.header[job->role_at[LW_IMPORT_WATER]],
                    "the table names the water of each row; leave out --water");
  }
  if (job->report->faults.count == 0) {
    lw_import_needs(job);
  }
}
