/* SPDX-License-Identifier: Apache-2.0 */
/* Ranges here catch slips of the pen (a depth of 800 m, a latitude of 330): they are wide, from
 * common sense, and no statement about lakes. What is usual is asked about by the callers. */
#include "store/kinds.h"

#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define AT(type, member) .name = #member, .offset = offsetof(type, member)

/* How long texts may be, in characters. */
enum { NAME = 80, WORD = 40, PERSON = 80, LINE = 400, LONG = 8000, LISTED = 200000 };

#define NAME_TEXT .type = LW_COLUMN_TEXT, .required = true, .longest = NAME, .rule = LW_RULE_NAME
#define FREE_TEXT(length) .type = LW_COLUMN_TEXT, .longest = (length)
#define CHOICE(words) .type = LW_COLUMN_TEXT, .longest = WORD, .choices = (words)
#define NUMBER(of_unit, from, to) .type = LW_COLUMN_NUMBER, .unit = (of_unit), .low = (from), .high = (to)
#define MAYBE(of_unit, from, to) .type = LW_COLUMN_MAYBE, .unit = (of_unit), .low = (from), .high = (to)
#define REFERENCE(kind) .type = LW_COLUMN_REFERENCE, .refers_to = (kind)

static const lw_column water_columns[] = {
    {AT(lw_water, name), .label = "name", NAME_TEXT, .unique = true},
    {AT(lw_water, latitude), .label = "latitude", MAYBE("deg", -90, 90)},
    {AT(lw_water, longitude), .label = "longitude", MAYBE("deg", -180, 180)},
    {AT(lw_water, elevation_m), .label = "elevation", MAYBE("m", -500, 6000)},
    {AT(lw_water, area_m2), .label = "area", MAYBE("m2", 1, 1e10)},
    {AT(lw_water, mean_depth_m), .label = "mean depth", MAYBE("m", 0.01, 500), .not_above = "max_depth_m"},
    {AT(lw_water, max_depth_m), .label = "greatest depth", MAYBE("m", 0.01, 500)},
    {AT(lw_water, outline), .label = "outline", .type = LW_COLUMN_OUTLINE},
    {AT(lw_water, outline_area_m2), .label = "area of the outline", MAYBE("m2", 1, 1e10)},
    {AT(lw_water, outline_perimeter_m), .label = "perimeter of the outline", MAYBE("m", 1, 1e8)},
    {AT(lw_water, aim_low_m), .label = "aim from", MAYBE("m", 0.01, 20), .not_above = "aim_high_m"},
    {AT(lw_water, aim_high_m), .label = "aim to", MAYBE("m", 0.01, 20)},
    {AT(lw_water, alarm_m), .label = "alarm", MAYBE("m", 0.01, 20)},
    {AT(lw_water, start_temperature_c), .label = "start temperature", MAYBE("degC", 0, 40)},
    {AT(lw_water, season_start), .label = "season start", FREE_TEXT(5), .rule = LW_RULE_MONTH_DAY},
    {AT(lw_water, season_end), .label = "season end", FREE_TEXT(5), .rule = LW_RULE_MONTH_DAY},
    {AT(lw_water, outflow_m3_s), .label = "usual outflow", MAYBE("m3/s", 0, 1000)},
    {AT(lw_water, pellets_kg_ha_day), .label = "fish feed", MAYBE("kg/ha/day", 0, 1000)},
    {AT(lw_water, use), .label = "use", CHOICE("fishing|clear-water|wildlife|livestock|swimming")},
    {AT(lw_water, harvest), .label = "harvest", CHOICE("yes|no")},
    {AT(lw_water, downstream), .label = "downstream", CHOICE("nobody|neighbours|permit-needed|permit-held")},
    {AT(lw_water, fish), .label = "fish", CHOICE("stocked|none|unbalanced")},
    {AT(lw_water, units), .label = "units", CHOICE("us|metric")},
    {AT(lw_water, note), .label = "note", FREE_TEXT(LONG)},
};

static const lw_column zone_columns[] = {
    {AT(lw_zone, water), .label = "water", REFERENCE(LW_KIND_WATER), .required = true},
    {AT(lw_zone, name), .label = "name", NAME_TEXT, .unique = true, .unique_in = "water"},
    {AT(lw_zone, kind), .label = "kind", .required = true,
     CHOICE("bay|hazard|channel|launch|inlet|spillway|swimming|platform")},
    {AT(lw_zone, outline), .label = "outline", .type = LW_COLUMN_OUTLINE},
    {AT(lw_zone, area_m2), .label = "area", MAYBE("m2", 0, 1e10)},
    {AT(lw_zone, note), .label = "note", FREE_TEXT(LONG)},
};

static const lw_column survey_columns[] = {
    {AT(lw_survey, water), .label = "water", REFERENCE(LW_KIND_WATER), .required = true},
    {AT(lw_survey, name), .label = "name", NAME_TEXT, .unique = true, .unique_in = "water"},
    {AT(lw_survey, day), .label = "day", .type = LW_COLUMN_DATE},
    {AT(lw_survey, level_m), .label = "level of the pool", MAYBE("m", -100, 100)},
    {AT(lw_survey, offset_m), .label = "depth of the transducer", MAYBE("m", -10, 50)},
    {AT(lw_survey, used), .label = "used", .type = LW_COLUMN_BOOLEAN},
    {AT(lw_survey, soundings), .label = "soundings", .type = LW_COLUMN_SOUNDINGS, .required = true},
    {AT(lw_survey, sounding_count), .label = "number of soundings", NUMBER("", 1, 1e7)},
    {AT(lw_survey, kept), .label = "kept by the owner", FREE_TEXT(LISTED), .rule = LW_RULE_NUMBERS},
    {AT(lw_survey, dropped), .label = "dropped by the owner", FREE_TEXT(LISTED), .rule = LW_RULE_NUMBERS},
    {AT(lw_survey, source), .label = "source", FREE_TEXT(LINE)},
    {AT(lw_survey, note), .label = "note", FREE_TEXT(LONG)},
};

static const lw_column reading_columns[] = {
    {AT(lw_reading, water), .label = "water", REFERENCE(LW_KIND_WATER), .required = true},
    {AT(lw_reading, quantity), .label = "quantity", FREE_TEXT(WORD), .required = true,
     .rule = LW_RULE_QUANTITY},
    {AT(lw_reading, value), .label = "value", NUMBER(NULL, -1e12, 1e12), .rule = LW_RULE_QUANTITY_VALUE},
    {AT(lw_reading, depth_m), .label = "depth", MAYBE("m", 0, 500)},
    {AT(lw_reading, day), .label = "day", .type = LW_COLUMN_DATE},
    {AT(lw_reading, minute), .label = "minute of the day", .type = LW_COLUMN_MAYBE_WHOLE, .unit = "min",
     .low = 0, .high = 1439},
    {AT(lw_reading, by), .label = "by", FREE_TEXT(PERSON)},
    {AT(lw_reading, way), .label = "way", FREE_TEXT(LINE)},
    {AT(lw_reading, note), .label = "note", FREE_TEXT(LONG)},
};

static const lw_column material_columns[] = {
    {AT(lw_material, name), .label = "name", NAME_TEXT, .unique = true},
    {AT(lw_material, kind), .label = "kind", CHOICE("fertilizer|lime|other"), .required = true},
    {AT(lw_material, form), .label = "form", .required = true,
     CHOICE("liquid|soluble-powder|controlled-release|granular|ground|hydrated|other")},
    {AT(lw_material, grade), .label = "grade", FREE_TEXT(WORD), .rule = LW_RULE_GRADE},
    {AT(lw_material, density_kg_l), .label = "density", MAYBE("kg/L", 0.05, 20)},
    {AT(lw_material, package_kg), .label = "mass of a package", MAYBE("kg", 0.001, 1e6)},
    {AT(lw_material, package_l), .label = "volume of a package", MAYBE("L", 0.001, 1e6)},
    {AT(lw_material, neutralizing_value_pct), .label = "neutralizing value", MAYBE("%", 0, 200)},
    {AT(lw_material, fineness_pct), .label = "fineness", MAYBE("%", 0, 100)},
    {AT(lw_material, price), .label = "price of a package", MAYBE("", 0, 1e9)},
    {AT(lw_material, note), .label = "note", FREE_TEXT(LONG)},
};

static const lw_column lot_columns[] = {
    {AT(lw_lot, material), .label = "material", REFERENCE(LW_KIND_MATERIAL), .required = true},
    {AT(lw_lot, day), .label = "day", .type = LW_COLUMN_DATE},
    {AT(lw_lot, packages), .label = "packages", NUMBER("", -1e6, 1e6), .rule = LW_RULE_NOT_ZERO},
    {AT(lw_lot, price), .label = "price of a package", MAYBE("", 0, 1e9)},
    {AT(lw_lot, note), .label = "note", FREE_TEXT(LONG)},
};

static const lw_column treatment_columns[] = {
    {AT(lw_treatment, water), .label = "water", REFERENCE(LW_KIND_WATER), .required = true},
    {AT(lw_treatment, material), .label = "material", REFERENCE(LW_KIND_MATERIAL), .required = true},
    {AT(lw_treatment, zone), .label = "zone", REFERENCE(LW_KIND_ZONE)},
    {AT(lw_treatment, day), .label = "day", .type = LW_COLUMN_DATE},
    {AT(lw_treatment, mass_kg), .label = "mass", NUMBER("kg", 0, 1e8), .rule = LW_RULE_NOT_ZERO},
    {AT(lw_treatment, volume_l), .label = "volume", MAYBE("L", 0, 1e8)},
    {AT(lw_treatment, purpose), .label = "purpose", CHOICE("feed|lime|weed|other"), .required = true},
    {AT(lw_treatment, conditions), .label = "conditions", FREE_TEXT(LINE)},
    {AT(lw_treatment, by), .label = "by", FREE_TEXT(PERSON)},
    {AT(lw_treatment, note), .label = "note", FREE_TEXT(LONG)},
};

static const lw_column note_columns[] = {
    {AT(lw_note, water), .label = "water", REFERENCE(LW_KIND_WATER)},
    {AT(lw_note, day), .label = "day", .type = LW_COLUMN_DATE},
    {AT(lw_note, text), .label = "text", FREE_TEXT(LONG), .required = true},
    {AT(lw_note, by), .label = "by", FREE_TEXT(PERSON)},
};

static const lw_column weather_columns[] = {
    {AT(lw_weather, water), .label = "water", REFERENCE(LW_KIND_WATER)},
    {AT(lw_weather, day), .label = "day", .type = LW_COLUMN_DATE},
    {AT(lw_weather, forecast), .label = "forecast", .type = LW_COLUMN_BOOLEAN},
    {AT(lw_weather, issued), .label = "issued", .type = LW_COLUMN_MAYBE_DATE},
    {AT(lw_weather, rain_mm), .label = "rain", MAYBE("mm", 0, 2500)},
    {AT(lw_weather, wind_m_s), .label = "wind", MAYBE("m/s", 0, 120)},
    {AT(lw_weather, air_c), .label = "air", MAYBE("degC", -70, 60)},
    {AT(lw_weather, cloud_pct), .label = "cloud", MAYBE("%", 0, 100)},
    {AT(lw_weather, source), .label = "source", FREE_TEXT(LINE)},
};

static const lw_column override_columns[] = {
    {AT(lw_override, water), .label = "water", REFERENCE(LW_KIND_WATER), .required = true},
    {AT(lw_override, rule), .label = "rule", NAME_TEXT},
    {AT(lw_override, reason), .label = "reason", FREE_TEXT(LONG), .required = true},
    {AT(lw_override, day), .label = "day", .type = LW_COLUMN_DATE, .not_above = "until"},
    {AT(lw_override, until), .label = "until", .type = LW_COLUMN_MAYBE_DATE},
    {AT(lw_override, by), .label = "by", FREE_TEXT(PERSON)},
};

static const lw_column setting_columns[] = {
    {AT(lw_setting, key), .label = "key", NAME_TEXT, .unique = true},
    {AT(lw_setting, value), .label = "value", FREE_TEXT(LONG)},
};

#define KIND(word, words, columns_of, from_format)                                                           \
  {                                                                                                          \
    .name = #word, .plural = (words), .size = sizeof(lw_##word), .columns = (columns_of),                    \
    .column_count = COUNT(columns_of), .since = (from_format)                                                \
  }

const lw_kind lw_kinds[LW_KIND_COUNT] = {
    [LW_KIND_WATER] = KIND(water, "waters", water_columns, 1),
    [LW_KIND_ZONE] = KIND(zone, "zones", zone_columns, 1),
    [LW_KIND_SURVEY] = KIND(survey, "surveys", survey_columns, 2),
    [LW_KIND_READING] = KIND(reading, "readings", reading_columns, 1),
    [LW_KIND_MATERIAL] = KIND(material, "materials", material_columns, 1),
    [LW_KIND_LOT] = KIND(lot, "lots", lot_columns, 1),
    [LW_KIND_TREATMENT] = KIND(treatment, "treatments", treatment_columns, 1),
    [LW_KIND_NOTE] = KIND(note, "notes", note_columns, 1),
    [LW_KIND_WEATHER] = KIND(weather, "weather", weather_columns, 1),
    [LW_KIND_OVERRIDE] = KIND(override, "overrides", override_columns, 1),
    [LW_KIND_SETTING] = KIND(setting, "settings", setting_columns, 1),
};

/* Sets of columns are kept in 64 bits. */
_Static_assert(COUNT(water_columns) <= 64, "no kind has more columns than a set of them can hold");

/* Generic code finds the id at the start of every record. */
_Static_assert(offsetof(lw_water, id) == 0 && offsetof(lw_zone, id) == 0 && offsetof(lw_reading, id) == 0 &&
                   offsetof(lw_material, id) == 0 && offsetof(lw_lot, id) == 0 &&
                   offsetof(lw_treatment, id) == 0 && offsetof(lw_note, id) == 0 &&
                   offsetof(lw_weather, id) == 0 && offsetof(lw_override, id) == 0 &&
                   offsetof(lw_setting, id) == 0 && offsetof(lw_survey, id) == 0,
               "id is the first member of every record");

lw_kind_id lw_kind_find(const char *name)
{
  int kind = 0;
  while (kind < LW_KIND_COUNT && strcmp(lw_kinds[kind].name, name) != 0) {
    kind++;
  }
  return (lw_kind_id)kind;
}

const lw_column *lw_kind_column(const lw_kind *kind, const char *name)
{
  for (size_t i = 0; i < kind->column_count; i++) {
    if (strcmp(kind->columns[i].name, name) == 0) {
      return &kind->columns[i];
    }
  }
  return NULL;
}

void lw_kind_clear(lw_kind_id kind, void *record)
{
  static const char *const empty = "";
  static const lw_day no_day = LW_NO_DAY;
  memset(record, 0, lw_kinds[kind].size);
  for (size_t i = 0; i < lw_kinds[kind].column_count; i++) {
    const lw_column *column = &lw_kinds[kind].columns[i];
    char *member = (char *)record + column->offset;
    if (column->type == LW_COLUMN_TEXT) {
      memcpy(member, &empty, sizeof empty);
    } else if (column->type == LW_COLUMN_OUTLINE || column->type == LW_COLUMN_SOUNDINGS) {
      memset(member, 0, sizeof(const char *));
    } else if (column->type == LW_COLUMN_MAYBE_DATE || column->type == LW_COLUMN_DATE) {
      memcpy(member, &no_day, sizeof no_day);
    }
  }
}

void lw_column_heading(const lw_column *column, lw_text *out)
{
  lw_text_add(out, column->label);
  if (column->unit && *column->unit) {
    lw_text_addf(out, " (%s)", column->unit);
  }
}
