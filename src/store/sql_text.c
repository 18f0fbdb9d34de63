/* SPDX-License-Identifier: Apache-2.0 */
/* The text of the statements: those over the history as they are, those over a kind from its
 * columns. */
#include "store/internal.h"

/* A version is 'latest' when no higher one of its record exists. */
static const char *const fixed_text[LW_FIXED_SQL_COUNT] = {
    [LW_SQL_BEGIN] = "BEGIN IMMEDIATE",
    [LW_SQL_BEGIN_READ] = "BEGIN",
    [LW_SQL_COMMIT] = "COMMIT",
    [LW_SQL_ROLLBACK] = "ROLLBACK",
    [LW_SQL_NEXT_CHANGE] = "SELECT ifnull(max(id), 0) + 1 FROM change",
    [LW_SQL_ADD_CHANGE] = "INSERT INTO change (id, at, who, why, action, undoes, digest) "
                          "VALUES (?1, ?2, ?3, ?4, ?5, ?6, zeroblob(32))",
    [LW_SQL_SEAL_CHANGE] = "UPDATE change SET digest = ?2 WHERE id = ?1",
    [LW_SQL_CHANGE] = "SELECT at, who, why, action, ifnull(undoes, 0), digest FROM change "
                      "WHERE id = ?1",
    [LW_SQL_RECORDS_OF_CHANGE] = "SELECT count(*) FROM (SELECT DISTINCT kind, record "
                                 "FROM record_version WHERE change = ?1)",
    [LW_SQL_CHANGES] = "SELECT id, at, who, why, action, ifnull(undoes, 0), digest FROM change "
                       "ORDER BY id",
    [LW_SQL_REVISION] = "SELECT ifnull(max(id), 0) FROM change",
    [LW_SQL_COUNT_CHANGES] = "SELECT count(*) FROM change",
    [LW_SQL_NEXT_RECORD] = "SELECT ifnull(max(record), 0) + 1 FROM record_version WHERE kind = ?1",
    [LW_SQL_LATEST] = "SELECT version, removed, body, change FROM record_version "
                      "WHERE kind = ?1 AND record = ?2 ORDER BY version DESC LIMIT 1",
    [LW_SQL_AS_OF] = "SELECT removed, body FROM record_version "
                     "WHERE kind = ?1 AND record = ?2 AND change <= ?3 "
                     "ORDER BY version DESC LIMIT 1",
    [LW_SQL_ADD_VERSION] = "INSERT INTO record_version (kind, record, version, change, removed, body) "
                           "VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    [LW_SQL_VERSIONS_OF_CHANGE] = "SELECT kind, record, version, removed, body FROM record_version "
                                  "WHERE change = ?1 ORDER BY kind, record, version",
    [LW_SQL_TOUCHED] = "SELECT DISTINCT kind, record FROM record_version WHERE change = ?1 "
                       "ORDER BY kind, record",
    [LW_SQL_VERSIONS_OF_RECORD] = "SELECT v.version, v.change, c.at, c.who, c.why, v.removed, v.body "
                                  "FROM record_version AS v JOIN change AS c ON c.id = v.change "
                                  "WHERE v.kind = ?1 AND v.record = ?2 ORDER BY v.version",
    [LW_SQL_ALL_LATEST] = "SELECT record, removed, body, max(version) FROM record_version "
                          "WHERE kind = ?1 GROUP BY record ORDER BY record",
    [LW_SQL_ALL_VERSIONS] = "SELECT kind, record, version, change, removed, body FROM record_version "
                            "ORDER BY change, kind, record, version",
    [LW_SQL_RECENT_CHANGES] = "SELECT id FROM change ORDER BY id DESC LIMIT ?1",
    [LW_SQL_UNDOS] = "SELECT id, undoes FROM change WHERE undoes IS NOT NULL ORDER BY id DESC",
    [LW_SQL_TOUCHED_LATER] = "SELECT DISTINCT v.change, ifnull(c.undoes, 0) "
                             "FROM record_version AS v JOIN change AS c ON c.id = v.change "
                             "WHERE v.kind = ?1 AND v.record = ?2 AND v.change > ?3 "
                             "ORDER BY v.change DESC",
    [LW_SQL_OUTLINE_KEEP] = "INSERT OR IGNORE INTO outline (digest, geojson) VALUES (?1, ?2)",
    [LW_SQL_OUTLINE_EXISTS] = "SELECT count(*) FROM outline WHERE digest = ?1",
    [LW_SQL_OUTLINE_FETCH] = "SELECT geojson FROM outline WHERE digest = ?1",
    [LW_SQL_SOUNDINGS_KEEP] = "INSERT OR IGNORE INTO soundings (digest, csv) VALUES (?1, ?2)",
    [LW_SQL_SOUNDINGS_EXISTS] = "SELECT count(*) FROM soundings WHERE digest = ?1",
    [LW_SQL_SOUNDINGS_FETCH] = "SELECT csv FROM soundings WHERE digest = ?1",
    [LW_SQL_CACHE_GET] = "SELECT digest, data FROM cache WHERE key = ?1",
    [LW_SQL_CACHE_PUT] = "INSERT OR REPLACE INTO cache (key, age, digest, data) "
                         "VALUES (?1, (SELECT ifnull(max(age), 0) + 1 FROM cache), ?2, ?3)",
    [LW_SQL_CACHE_TRIM] = "DELETE FROM cache WHERE key IN (SELECT key FROM "
                          "(SELECT key, row_number() OVER newest AS place, "
                          "sum(length(data)) OVER newest AS bytes FROM cache "
                          "WINDOW newest AS (ORDER BY age DESC ROWS UNBOUNDED PRECEDING)) "
                          "WHERE place > ?1 OR bytes > ?2)",
};

const char *lw_sql_fixed_text(lw_fixed_sql which)
{
  return fixed_text[which];
}

static void add_column_list(lw_text *sql, const lw_kind *kind)
{
  lw_text_add(sql, "\"id\"");
  for (size_t i = 0; i < kind->column_count; i++) {
    lw_text_addf(sql, ", \"%s\"", kind->columns[i].name);
  }
}

static const lw_column *unique_column(const lw_kind *kind)
{
  for (size_t i = 0; i < kind->column_count; i++) {
    if (kind->columns[i].unique) {
      return &kind->columns[i];
    }
  }
  return NULL;
}

static void add_select(lw_text *sql, const lw_kind *kind, const char *where)
{
  lw_text_add(sql, "SELECT ");
  add_column_list(sql, kind);
  lw_text_addf(sql, " FROM \"%s\" %s", kind->name, where);
}

static void add_put(lw_text *sql, const lw_kind *kind)
{
  lw_text_addf(sql, "INSERT INTO \"%s\" (", kind->name);
  add_column_list(sql, kind);
  lw_text_add(sql, ") VALUES (?1");
  for (size_t i = 0; i < kind->column_count; i++) {
    lw_text_addf(sql, ", ?%zu", i + 2);
  }
  lw_text_add(sql, ") ON CONFLICT (\"id\") DO UPDATE SET ");
  for (size_t i = 0; i < kind->column_count; i++) {
    const char *name = kind->columns[i].name;
    lw_text_addf(sql, "%s\"%s\" = excluded.\"%s\"", i ? ", " : "", name, name);
  }
}

static void add_by_name(lw_text *sql, const lw_kind *kind, lw_kind_sql which)
{
  const lw_column *name = unique_column(kind);
  if (!name) {
    return;
  }
  if (which == LW_SQL_NAMED) {
    add_select(sql, kind, "");
    lw_text_addf(sql, "WHERE \"%s\" = ?1 COLLATE NOCASE", name->name);
    return;
  }
  lw_text_addf(sql, "SELECT \"id\" FROM \"%s\" WHERE \"%s\" = ?1 COLLATE NOCASE AND \"id\" <> ?2", kind->name,
               name->name);
  if (name->unique_in) {
    lw_text_addf(sql, " AND \"%s\" IS ?3", name->unique_in);
  }
}

void lw_sql_write(lw_text *sql, const lw_kind *kind, lw_kind_sql which)
{
  switch (which) {
  case LW_SQL_ONE:
    add_select(sql, kind, "WHERE \"id\" = ?1");
    break;
  case LW_SQL_ALL:
    add_select(sql, kind, "ORDER BY \"id\"");
    break;
  case LW_SQL_OF_WATER:
    add_select(sql, kind, "WHERE \"water\" = ?1");
    if (!lw_kind_column(kind, "water")->required) {
      lw_text_add(sql, " OR \"water\" IS NULL");
    }
    break;
  case LW_SQL_COUNT:
    lw_text_addf(sql, "SELECT count(*) FROM \"%s\"", kind->name);
    break;
  case LW_SQL_PUT:
    add_put(sql, kind);
    break;
  case LW_SQL_DELETE:
    lw_text_addf(sql, "DELETE FROM \"%s\" WHERE \"id\" = ?1", kind->name);
    break;
  case LW_SQL_EXISTS:
    lw_text_addf(sql, "SELECT count(*) FROM \"%s\" WHERE \"id\" = ?1", kind->name);
    break;
  default:
    add_by_name(sql, kind, which);
    break;
  }
}
