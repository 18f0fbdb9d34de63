// SPDX-License-Identifier: Apache-2.0
// The routes of the lake map for mock-server.mjs, on the bowls of mock-basin.mjs.
import { basinJson, bowlOf, contoursJson, mapJson, outlineOf, readSoundings, reportOf, soundingsJson, surveyOf, toPlace, toSpot, wayOf } from './mock-basin.mjs';

/** Gives the waters their outlines, places and surveys. */
export function addBasins(waters) {
  for (const water of waters) {
    water.outline = outlineOf(water);
    water.surveys = [];
    water.zones = [];
  }
  const first = waters.find((one) => one.id === 1);
  if (!first) return;
  const { a, b } = bowlOf(first);
  const place = (x, y) => toPlace([x * a, y * b]);
  first.surveys = [surveyOf(901, 'Lines of March', '2026-03-14', bowlOf(first))];
  first.zones = [
    { id: 801, name: 'Stumps', kind: 'hazard', outline: { type: 'Polygon', coordinates: [[place(0.45, 0.35), place(0.62, 0.4), place(0.6, 0.6), place(0.44, 0.58), place(0.45, 0.35)]] }, note: 'old orchard, under 2 ft at low pool' },
    { id: 802, name: 'Launch', kind: 'launch', outline: { type: 'Point', coordinates: place(-0.9, -0.38) }, note: '' },
    { id: 803, name: 'Spillway', kind: 'spillway', outline: { type: 'Point', coordinates: place(0.985, -0.05) }, note: '' },
    { id: 804, name: 'Creek bed', kind: 'channel', outline: { type: 'LineString', coordinates: [place(-0.95, 0.1), place(-0.4, 0.2), place(0, 0), place(0.5, -0.15), place(0.95, -0.08)] }, note: '' },
  ].map((zone) => ({ area: null, ...zone }));
}

export function basinRoutes({ state, find, entry, fault, ok, newId, today }) {
  const without = (list, one) => { const at = list.indexOf(one); list.splice(at, 1); return () => list.splice(at, 0, one); };
  const changed = (one, body, keys) => {
    const before = { ...one };
    for (const key of keys) if (key in body) one[key] = body[key] ?? (key === 'note' ? '' : null);
    return () => Object.assign(one, before);
  };
  const owner = (list, id) => state.waters.find((water) => water[list].some((one) => one.id === Number(id)));

  function basin(water, what, search) {
    if (!water.outline) return fault(400, 'invalid', `${water.name} has no outline`);
    if (!wayOf(water)) return fault(400, 'invalid', `nothing is known of the depth of ${water.name}: tell its greatest depth, or read ten depths with a rope`);
    if (what === 'map') return ok(mapJson(water));
    if (what === 'contours') return ok(contoursJson(water, Number(search.get('interval') ?? 0.3048)));
    return ok(basinJson(water));
  }

  function importSurvey(water, body) {
    const points = readSoundings(body);
    if (!points) return fault(400, 'invalid', `${body.name}: no columns lon, lat and depth were found in the first line; name them so, or name the depth with depth_field`, 'text');
    const report = reportOf(points);
    if (body.dry_run) return ok({ entry: null, report });
    const survey = { ...surveyOf(newId(), body.name, report.date, bowlOf(water)), level: null, offset: null, source: `${body.name} (CSV)`, points };
    water.surveys.push(survey);
    const { json } = entry('survey', survey.id, `${water.name}: ${report.read} soundings from ${body.name}`, () => without(water.surveys, survey));
    return ok({ entry: json, report });
  }

  function ropeDepth(water, body) {
    const number = parseFloat(body.depth);
    if (!(number > 0)) return fault(400, 'invalid', `depth is '${body.depth}', which is not a depth with a unit; write it like 9 ft`, 'depth');
    const day = body.date ?? today;
    let survey = water.surveys.find((one) => one.rope && one.date === day);
    const isNew = !survey;
    if (!survey) {
      survey = { ...surveyOf(newId(), `By rope ${day}`, day, bowlOf(water)), level: null, offset: null, source: 'by rope', points: [], rope: true };
      water.surveys.push(survey);
    }
    const [x, y] = toSpot([body.longitude, body.latitude]);
    const point = { x, y, depth: number * (body.depth.includes('ft') ? 0.3048 : 1), residual: 0, wrong: null, number: survey.points.length + 1 };
    survey.points.push(point);
    return entry('survey', survey.id, `${water.name}: ${body.depth} by rope`, () => { without(survey.points, point); if (isNew) without(water.surveys, survey); });
  }

  function zone(verb, id, body) {
    if (verb === 'POST') {
      const water = find(body.water);
      const one = { id: newId(), name: body.name, kind: body.kind, area: null, outline: body.outline ?? null, note: body.note ?? '' };
      water.zones.push(one);
      return entry('zone', one.id, `${water.name}: ${one.name} drawn`, () => without(water.zones, one));
    }
    const water = owner('zones', id);
    const one = water?.zones.find((other) => other.id === Number(id));
    if (!one) return fault(404, 'not-found', 'there is no such zone');
    if (verb === 'DELETE') return entry('zone', one.id, `${water.name}: ${one.name} taken away`, without(water.zones, one));
    return entry('zone', one.id, `${water.name}: ${one.name} changed`, changed(one, body, ['name', 'kind', 'note', 'outline']));
  }

  function survey(verb, id, body) {
    const water = owner('surveys', id);
    const one = water?.surveys.find((other) => other.id === Number(id));
    if (!one) return fault(404, 'not-found', 'there is no such survey');
    if (verb === 'DELETE') return entry('survey', one.id, `${water.name}: ${one.name} taken away`, without(water.surveys, one));
    return entry('survey', one.id, `${water.name}: ${one.name} changed`, changed(one, body, ['name', 'used', 'note', 'kept', 'dropped']));
  }

  /** Null when it is none of ours. */
  return (verb, [head, id, third, fourth], search, body) => {
    const water = head === 'waters' ? find(id) : undefined;
    if (head === 'zones' && (verb === 'POST' || id)) return zone(verb, id, body);
    if (head === 'surveys' && id) return survey(verb, id, body);
    if (!water || !third) {
      if (verb === 'PATCH' && water && body.max_depth) { const undo = changed(water, { maxDepth: parseFloat(body.max_depth) }, ['maxDepth']); return entry('water', water.id, `${water.name}: greatest depth ${body.max_depth}`, undo); }
      if (verb === 'PATCH' && water && body.outline) { const undo = changed(water, body, ['outline']); return entry('water', water.id, `${water.name}: outline`, undo); }
      return null;
    }
    if (verb === 'GET' && third === 'basin') return basin(water, fourth, search);
    if (verb === 'GET' && third === 'soundings') return ok(soundingsJson(water));
    if (verb === 'POST' && third === 'surveys') return importSurvey(water, body);
    if (verb === 'POST' && third === 'depths') return ropeDepth(water, body);
    return null;
  };
}
