// SPDX-License-Identifier: Apache-2.0
// Invented basins for mock-server.mjs: a bowl whose every figure has a formula, so that the page can be
// held against it. Upper Sedge has soundings, Heron Pool a told depth, Long Run an outline alone,
// Brickyard not even that.
const FT = 0.3048;
const ACRE = 4046.8564224;
const ACRE_FT = 1233.48183754752;
const LAT = 33.1;
const LON = -86.4;
const TURN = 0.006; // the plane's north against true north, radians: the page must heed the corners
const REASONS = {
  outside: 'lies outside the outline by more than the tolerance', dropout: 'the sounder lost the bottom', spike: 'stands far off its neighbours',
  'double-echo': 'reads about twice its neighbours: an echo of the echo', 'by-owner': 'set aside by the owner',
};
const q = (value, unit, shown) => ({ value, unit, shown });
const figures = (value) => String(Number(value.toPrecision(3)));

/** Counter-based noise: the same at every start. */
function noise(n) {
  let h = Math.imul(n + 1, 0x9e3779b1) >>> 0;
  h = Math.imul(h ^ (h >>> 15), 0x85ebca6b) >>> 0;
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35) >>> 0;
  return ((h ^ (h >>> 16)) >>> 0) / 2 ** 31 - 1;
}

export function toPlace([x, y]) {
  const east = x * Math.cos(TURN) - y * Math.sin(TURN);
  const north = x * Math.sin(TURN) + y * Math.cos(TURN);
  return [LON + east / (111320 * Math.cos(LAT * Math.PI / 180)), LAT + north / 111320];
}

export function toSpot([lon, lat]) {
  const east = (lon - LON) * 111320 * Math.cos(LAT * Math.PI / 180);
  const north = (lat - LAT) * 111320;
  return [east * Math.cos(TURN) + north * Math.sin(TURN), -east * Math.sin(TURN) + north * Math.cos(TURN)];
}

const ring = (a, b, count = 96) => Array.from({ length: count }, (_, k) => [a * Math.cos(2 * Math.PI * k / count), b * Math.sin(2 * Math.PI * k / count)]);
const closed = (list) => [...list, list[0]];

/** The bowl of a water: half axes from its acres, depth falling off with the square. */
export function bowlOf(water) {
  const b = Math.sqrt(water.acres * ACRE / Math.PI / 2.1);
  return { a: 2.1 * b, b, deepest: (water.maxDepth ?? water.depth * 2) * FT };
}

export function depthIn({ a, b, deepest }, [x, y]) {
  return deepest * (1 - (x / a) ** 2 - (y / b) ** 2);
}

export function outlineOf(water) {
  if (water.id === 4 || water.id > 4) return null;
  const { a, b } = bowlOf(water);
  return { type: 'Polygon', coordinates: [closed(ring(a, b).map(toPlace))] };
}

/** Soundings along lines across the bowl, some of them wrong. */
function soundingsOf(bowl) {
  const out = [];
  for (let line = 0; line < 18; line++) {
    const x = bowl.a * (-0.93 + 1.86 * line / 17);
    const half = bowl.b * Math.sqrt(1 - (x / bowl.a) ** 2) * 0.96;
    for (let k = 0; k <= 42; k++) {
      const n = out.length;
      const at = [x + 2 * noise(3 * n), -half + 2 * half * k / 42];
      const residual = 0.14 * noise(3 * n + 1) + 0.1 * noise(3 * n + 2) * Math.abs(noise(n)) * 3;
      const wrong = n % 61 === 17 ? ['spike', 'dropout', 'double-echo', 'outside'][(n / 61 | 0) % 4] : null;
      const true_ = Math.max(0.05, depthIn(bowl, at));
      const depth = wrong === 'spike' ? true_ + 3 : wrong === 'dropout' ? 0 : wrong === 'double-echo' ? 2 * true_ : true_ + residual;
      out.push({ x: wrong === 'outside' ? at[0] * 1.2 : at[0], y: wrong === 'outside' ? at[1] * 1.35 : at[1], depth, residual, wrong, number: n + 1 });
    }
  }
  return out;
}

export function ranges(text) {
  return new Set((text || '').split(',').filter(Boolean).flatMap((part) => {
    const [from, to = from] = part.split('-').map(Number);
    return Array.from({ length: to - from + 1 }, (_, k) => from + k);
  }));
}

export function flawOf(survey, one) {
  if (ranges(survey.dropped).has(one.number)) return 'by-owner';
  return one.wrong && !ranges(survey.kept).has(one.number) ? one.wrong : 'good';
}

export function surveyOf(id, name, date, bowl) {
  return { id, name, date, level: -0.4 * FT, offset: 0.2, used: true, source: 'lines-a.nmea (NMEA 0183)', note: '', kept: '', dropped: '', points: soundingsOf(bowl) };
}

function surveyJson(survey) {
  const flaws = survey.points.map((one) => flawOf(survey, one));
  const length = (value) => (value === null ? null : q(value, 'm', `${figures(value / FT)} ft`));
  return {
    id: survey.id, name: survey.name, date: survey.date, level: length(survey.level), offset: length(survey.offset), used: survey.used, source: survey.source, note: survey.note,
    kept: survey.kept, dropped: survey.dropped, soundings: flaws.length, used_soundings: survey.used ? flaws.filter((one) => one === 'good').length : 0,
    set_aside: Object.entries(REASONS).map(([reason, text]) => ({ reason, text, count: flaws.filter((one) => one === reason).length })).filter((one) => one.count),
  };
}

// ---- what the page asks ----

const wide = (m3, spread) => ({ ...q(m3, 'm3', `${figures(m3 / ACRE_FT)} acre-ft`), low: m3 * (1 - spread), high: m3 * (1 + spread) });
const feet = (m) => q(m, 'm', `${Number((m / FT).toFixed(1))} ft`);
const acres = (m2) => q(m2, 'm2', `${figures(m2 / ACRE)} acre`);

export function wayOf(water) {
  const rope = water.surveys.filter((one) => one.used && one.rope).length > 0;
  if (water.surveys.some((one) => one.used && !one.rope)) return 'sounded';
  if (rope) return 'few-depths';
  return !water.maxDepth && (water.id === 3 || !water.depth) ? null : 'told-max';
}

const SPREAD = { sounded: 0.03, 'few-depths': 0.14, 'told-max': 0.38 };
const HOW = {
  sounded: 'From 761 soundings on 18 lines; lines left out are met within 0.4 ft.',
  'few-depths': 'From a handful of depths read with a rope; the bed between them is drawn smooth.',
  'told-max': 'From the outline and the greatest depth alone: the volume may be a third more or less.',
};

function at(bowl, down, spread) {
  const left = Math.max(0, 1 - down / bowl.deepest);
  const whole = Math.PI * bowl.a * bowl.b;
  return { area: acres(whole * left), volume: wide(whole * bowl.deepest / 2 * left * left, spread), mean: bowl.deepest / 2 * left };
}

function inRing(list, [x, y]) {
  let odd = false;
  list.forEach(([ax, ay], k) => {
    const [bx, by] = list[(k + 1) % list.length];
    if ((ay > y) !== (by > y) && x < (bx - ax) * (y - ay) / (by - ay) + ax) odd = !odd;
  });
  return odd;
}

function zoneJson(zone, bowl, spread) {
  const none = { id: zone.id, name: zone.name, kind: zone.kind, area: null, volume: null, mean_depth: null };
  if (zone.outline?.type !== 'Polygon') return none;
  const list = zone.outline.coordinates[0].map(toSpot);
  let area = 0;
  let volume = 0;
  for (let x = -bowl.a; x < bowl.a; x += 2) {
    for (let y = -bowl.b; y < bowl.b; y += 2) {
      const depth = depthIn(bowl, [x, y]);
      if (depth > 0 && inRing(list, [x, y])) { area += 4; volume += 4 * depth; }
    }
  }
  return { ...none, area: acres(area), volume: wide(volume, spread), mean_depth: feet(area ? volume / area : 0) };
}

export function basinJson(water) {
  const bowl = bowlOf(water);
  const way = wayOf(water);
  const spread = SPREAD[way];
  const rows = Math.ceil(bowl.deepest / FT);
  const full = at(bowl, 0, spread);
  const level = (down) => ({ level: q(-Math.min(down, bowl.deepest), 'm', `${figures(-Math.min(down, bowl.deepest) / FT)} ft`), area: at(bowl, down, spread).area, volume: at(bowl, down, spread).volume });
  const today = at(bowl, 0.5 * FT, spread);
  return {
    water: water.name, id: water.id, way, how: HOW[way], level: q(0, 'm', '0 ft'), full_pool: true,
    area: full.area, volume: full.volume, mean_depth: feet(full.mean), max_depth: { ...feet(bowl.deepest), low: bowl.deepest * 0.95, high: bowl.deepest * 1.05 },
    cross_validation: way === 'sounded' ? { rmse: feet(0.12), bias: feet(0.01), folds: q(10, '1'), soundings: q(761, '1') }
      : way === 'few-depths' ? { rmse: q(0.0000055, 'm', '0.000018 ft'), bias: q(0.0000055, 'm', '0.000018 ft'), folds: q(1, '1'), soundings: q(1, '1') } : null,
    shoreline: q(1500, 'm', '4920 ft'), shoreline_development: q(1.2, '1'), step: q(5, 'm', '16 ft'),
    curve: Array.from({ length: rows + 1 }, (_, k) => level(k * FT)),
    hypsograph: Array.from({ length: 21 }, (_, k) => ({ depth: feet(bowl.deepest * k / 20), share_shallower: { value: k / 20, unit: '1' } })),
    zones: water.zones.map((zone) => zoneJson(zone, bowl, spread)),
    today: water.id === 1 ? { level: q(-0.5 * FT, 'm', '-0.5 ft'), date: '2026-04-12', area: today.area, volume: today.volume, mean_depth: feet(today.mean) } : null,
    surveys: water.surveys.map(surveyJson), at: null, thermocline: null, shallower: null,
    methods: [{ name: 'depth-surface', source: 'Smith and Wessel (1990), Geophysics 55:293' }],
    caution: 'Not for navigation. Depths are reckoned between soundings; stumps and shoals may be missing.',
  };
}

const STEP = 5;

export function mapJson(water) {
  const bowl = bowlOf(water);
  const i0 = Math.ceil(bowl.a / STEP) + 1;
  const j0 = Math.ceil(bowl.b / STEP) + 1;
  const [nx, ny, x0, y0] = [2 * i0 + 1, 2 * j0 + 1, -i0 * STEP, -j0 * STEP];
  const shore = ring(bowl.a, bowl.b);
  const cover = [];
  const wet = new Array(nx * ny).fill(false);
  for (let j = 0; j < ny - 1; j++) {
    for (let i = 0; i < nx - 1; i++) {
      let inside = 0;
      for (let k = 0; k < 16; k++) inside += depthIn(bowl, [x0 + (i + (k % 4 + 0.5) / 4) * STEP, y0 + (j + ((k >> 2) + 0.5) / 4) * STEP]) > 0 ? 1 : 0;
      cover.push(Math.round(100 * inside / 16));
      if (inside) for (const at_ of [j * nx + i, j * nx + i + 1, (j + 1) * nx + i, (j + 1) * nx + i + 1]) wet[at_] = true;
    }
  }
  const node = (value) => wet.map((is, at_) => (is ? Math.round(1000 * value([x0 + (at_ % nx) * STEP, y0 + Math.floor(at_ / nx) * STEP])) : null));
  const corner = (i, j) => toPlace([x0 + i * STEP, y0 + j * STEP]);
  return {
    frame: { nx, ny, step: STEP, x0, y0 }, corners: [corner(0, 0), corner(nx - 1, 0), corner(nx - 1, ny - 1), corner(0, ny - 1)],
    depth: node((spot) => depthIn(bowl, spot)), error: node(([x, y]) => (wayOf(water) === 'sounded' ? 0.1 : 0.6) + 0.08 * Math.abs(Math.sin(x / 40) * Math.cos(y / 30))),
    cover, shore: [shore], max_depth: bowl.deepest,
  };
}

export function contoursJson(water, interval) {
  const { a, b, deepest } = bowlOf(water);
  const contours = [];
  for (let depth = interval; depth < deepest - 1e-6; depth += interval) {
    const part = Math.sqrt(1 - depth / deepest);
    contours.push({ depth: feet(depth), rings: [ring(a * part, b * part)] });
  }
  return { interval, contours };
}

export function soundingsJson(water) {
  const all = water.surveys.filter((one) => one.used).flatMap((survey) => survey.points.map((one) => ({ ...one, survey: survey.id, flaw: flawOf(survey, one) })));
  all.sort((one, other) => Number(one.flaw === 'good') - Number(other.flaw === 'good'));
  const column = (of) => all.map(of);
  return {
    count: all.length, shown: all.length,
    soundings: { x: column((one) => one.x), y: column((one) => one.y), depth: column((one) => one.depth), residual: column((one) => (one.flaw === 'good' ? one.residual : null)), survey: column((one) => one.survey), number: column((one) => one.number), flaw: column((one) => one.flaw) },
  };
}

/** Depths of a CSV with columns lon, lat, depth. */
export function readSoundings(body) {
  const lines = body.text.trim().split(/\r?\n/);
  const names = lines[0].toLowerCase().split(',').map((one) => one.trim());
  const [lon, lat, depth] = ['lon', 'lat', 'depth'].map((want) => names.findIndex((one) => one.startsWith(want)));
  if (lon < 0 || lat < 0 || depth < 0) return null;
  const unit = body.depth_unit === 'm' ? 1 : FT;
  return lines.slice(1).map((line, at_) => {
    const cells = line.split(',').map(Number);
    const [x, y] = toSpot([cells[lon], cells[lat]]);
    return { x, y, depth: cells[depth] * unit, residual: 0, wrong: cells[depth] > 0 ? null : 'dropout', number: at_ + 1 };
  });
}

export function reportOf(points) {
  const wrong = points.filter((one) => one.wrong);
  return {
    format: 'CSV', read: points.length, used: points.length - wrong.length, set_aside: wrong.length ? [{ reason: 'dropout', text: REASONS.dropout, count: wrong.length }] : [],
    skipped: [], date: '2026-04-10', warnings: ['the pool level of that day is not told; it is taken as full'],
  };
}
