// SPDX-License-Identifier: Apache-2.0
// The real program against docs/openapi.json: every operation is called on a demo store, every answer
// and every request sent is held against its schema, and the program's own table of routes against
// the paths. Loopback only.
//   LAKEWARD=build/lakeward node --test tests/browser/openapi.test.mjs
import assert from 'node:assert/strict';
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { request as httpRequest } from 'node:http';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { after, before, test } from 'node:test';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '../..');
const program = resolve(process.env.LAKEWARD ?? join(root, 'build/lakeward'));
const Ajv = createRequire(join(root, 'app/package.json'))('ajv/dist/2020.js').default;
const description = JSON.parse(readFileSync(join(root, 'docs/openapi.json'), 'utf8'));
const TODAY = '2026-04-08';

const ajv = new Ajv({ strict: false, allErrors: true, validateFormats: false });
ajv.addSchema(description, 'description');
const folder = mkdtempSync(join(tmpdir(), 'lakeward-openapi-'));
const called = new Set();
let server;

// ---- the program ----

function start(store) {
  const child = spawn(program, ['--store', store, 'serve', '--port', '0'],
    { env: { ...process.env, LAKEWARD_TODAY: TODAY }, stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = new Promise((done) => child.on('exit', (code, signal) => done({ code, signal })));
  return new Promise((ready, failed) => {
    let text = '';
    const late = setTimeout(() => { child.kill('SIGKILL'); failed(new Error(`no address in time: ${text}`)); }, 20000);
    child.stdout.on('data', (piece) => {
      text += piece;
      const port = /http:\/\/127\.0\.0\.1:(\d+)\//.exec(text)?.[1];
      if (port) {
        clearTimeout(late);
        ready({ child, ended, port: Number(port) });
      }
    });
    child.on('error', (fault) => { clearTimeout(late); failed(fault); });
    ended.then(() => { clearTimeout(late); failed(new Error(`the program ended: ${text}`)); });
  });
}

async function stopWith(running, signal) {
  running.child.kill(signal);
  const late = setTimeout(() => running.child.kill('SIGKILL'), 10000);
  const end = await running.ended;
  clearTimeout(late);
  return end;
}

function ask(method, path, body, headers = {}) {
  return new Promise((done, failed) => {
    const text = body === undefined ? undefined : JSON.stringify(body);
    const all = { ...(text === undefined ? {} : { 'Content-Type': 'application/json', 'Content-Length': Buffer.byteLength(text) }), ...headers };
    const call = httpRequest({ host: '127.0.0.1', port: server.port, method, path, headers: all, timeout: 20000 }, (answer) => {
      let got = '';
      answer.setEncoding('utf8');
      answer.on('data', (piece) => { got += piece; });
      answer.on('end', () => done({ status: answer.statusCode, headers: answer.headers, text: got }));
    });
    call.on('timeout', () => call.destroy(new Error(`${method} ${path}: no answer in time`)));
    call.on('error', failed);
    call.end(text);
  });
}

// ---- the description ----

const pointer = (...keys) => '#/' + keys.map((key) => encodeURIComponent(key.replaceAll('~', '~0').replaceAll('/', '~1'))).join('/');
const checks = new Map();

function hold(value, reference, what) {
  if (!checks.has(reference)) checks.set(reference, ajv.compile({ $ref: 'description' + reference }));
  const check = checks.get(reference);
  if (!check(value)) {
    const faults = check.errors.slice(0, 8).map((fault) => `${fault.instancePath} ${fault.message} ${JSON.stringify(fault.params)}`);
    assert.fail(`${what} is not as described:\n  ${faults.join('\n  ')}\n  ${JSON.stringify(value).slice(0, 400)}`);
  }
}

// Follows $ref one step, and tells where it landed.
function follow(keys) {
  let at = description;
  for (const key of keys) at = at?.[key];
  assert.ok(at, `the description has no ${keys.join(' ')}`);
  return at.$ref ? follow(at.$ref.slice(2).split('/')) : { at, keys };
}

function answerSchema(template, method, status) {
  const responses = description.paths[template][method].responses;
  const { keys } = follow(['paths', template, method, 'responses', status in responses ? String(status) : 'default']);
  return pointer(...keys, 'content', 'application/json', 'schema');
}

function bodySchema(template, method) {
  const { keys } = follow(['paths', template, method, 'requestBody']);
  return pointer(...keys, 'content', 'application/json', 'schema');
}

// Calls one operation; the answer must have the status and be as described.
async function call(method, template, { id, name, query = '', body, status = 200 } = {}) {
  const verb = method.toLowerCase();
  const path = template.replace('{id}', id).replace('{name}', name) + query;
  assert.ok(description.paths[template]?.[verb], `${method} ${template} is not described`);
  if (body !== undefined && status === 200) hold(body, bodySchema(template, verb), `the body of ${method} ${template}`);
  const answer = await ask(method, path, body);
  assert.equal(answer.status, status, `${method} ${path}: ${answer.text.slice(0, 400)}`);
  assert.equal(answer.headers['content-type'], 'application/json; charset=utf-8');
  const json = JSON.parse(answer.text);
  hold(json, answerSchema(template, verb, status), `the answer to ${method} ${path}`);
  if (status === 200) called.add(`${method} ${template}`);
  return json;
}

before(async () => {
  assert.ok(existsSync(program), `${program} is not there: build it, or name it in LAKEWARD`);
  const store = join(folder, 'demo.lake');
  const made = spawnSync(program, ['demo', store], { encoding: 'utf8', timeout: 60000 });
  assert.equal(made.status, 0, made.stderr);
  server = await start(store);
});

after(async () => {
  server?.child.kill('SIGKILL');
  await server?.ended;
  rmSync(folder, { recursive: true, force: true });
});

// ---- tests; each leaves the store usable for the next ----

const water = {};

test('what can be read is as described', async () => {
  const version = await call('GET', '/api/version');
  assert.equal(version.today, TODAY);
  for (const path of ['/api/now', '/api/waters', '/api/shelf', '/api/log', '/api/quantities', '/api/methods', '/api/rules', '/api/settings', '/api/openapi.json']) {
    await call('GET', path);
  }
  const { waters } = await call('GET', '/api/waters');
  for (const { id, name } of waters) {
    await call('GET', '/api/waters/{id}', { id });
    const basin = await call('GET', '/api/waters/{id}/basin', { id });
    assert.equal(basin.water, name);
    await call('GET', '/api/waters/{id}/basin/map', { id });
    await call('GET', '/api/waters/{id}/basin/contours', { id });
    await call('GET', '/api/waters/{id}/soundings', { id });
    const now = await call('GET', '/api/now', { query: `?on=${TODAY}&water=${encodeURIComponent(name)}` });
    assert.deepEqual(now.waters.map((one) => one.water), [name]);
  }
  const log = await call('GET', '/api/log', { query: '?limit=3' });
  assert.ok(log.entries.length <= 3);
});

test('the description served is the one in docs', async () => {
  const { text } = await ask('GET', '/api/openapi.json');
  assert.deepEqual(JSON.parse(text), description);
});

test('a water can be added, changed, seen', async () => {
  const outline = { type: 'Polygon', coordinates: [[[-86.4, 33.1], [-86.398, 33.1], [-86.398, 33.102], [-86.4, 33.102], [-86.4, 33.1]]] };
  const entry = await call('POST', '/api/waters', { body: { name: 'Trial Pond', area: '4 acre', mean_depth: '5 ft', max_depth: '11 ft', place: '33.1,-86.4', outline, downstream: 'nobody', fish: 'stocked', harvest: 'yes', use: 'fishing', who: 'keeper', why: 'a trial' } });
  water.id = entry.id;
  assert.equal(entry.kind, 'water');
  await call('PATCH', '/api/waters/{id}', { id: entry.id, body: { aim_low: '18 in', aim_high: '24 in', outflow: '0.05 cfs', note: 'dug 1962', max_depth: null } });
  const sheet = await call('GET', '/api/waters/{id}', { id: entry.id });
  assert.equal(sheet.name, 'Trial Pond');
  assert.equal(sheet.facts.note, 'dug 1962');
  assert.equal(sheet.facts.max_depth, null);
  assert.ok(Math.abs(sheet.facts.area.value - 4 * 4046.8564224) < 0.5);
  assert.ok(Math.abs(sheet.facts.mean_depth.value - 1.524) < 0.001);
  assert.equal(sheet.facts.outline.type, 'Polygon');
  const log = await call('GET', '/api/log', { query: '?limit=10' });
  const added = log.entries.find((one) => one.change === entry.change);
  assert.equal(added.who, 'keeper');
  assert.equal(added.why, 'a trial');
});

test('readings, notes, weather, zones and overrides are kept', async () => {
  const before = (await call('GET', '/api/version')).revision;
  const kept = {};
  for (const [quantity, value] of [['secchi', '40 in'], ['water-color', 'green'], ['temperature', '68 degF'], ['alkalinity', '34'], ['weed-cover', '5 %']]) {
    kept[quantity] = await call('POST', '/api/readings', { body: { water: water.id, quantity, value, on: '2026-04-06', by: 'first hand' } });
  }
  const odd = await call('POST', '/api/readings', { body: { water: water.id, quantity: 'secchi', value: '300 in', on: '2026-04-01', note: 'a slip' } });
  assert.ok(odd.warning, 'an unusual value is asked about');
  await call('DELETE', '/api/readings/{id}', { id: odd.id });
  const note = await call('POST', '/api/notes', { body: { water: 0, text: 'gate was open' } });
  await call('DELETE', '/api/notes/{id}', { id: note.id, body: { who: 'keeper', why: 'shut it' } });
  await call('POST', '/api/weather', { body: { water: 0, on: '2026-04-09', forecast: true, rain: '1.5 in', wind: '12 mph', air: '72 degF', cloud: '90 %' } });
  const zone = await call('POST', '/api/zones', { body: { water: water.id, name: 'north arm', kind: 'bay' } });
  const sheet = await call('GET', '/api/waters/{id}', { id: water.id });
  assert.equal(sheet.zones.length, 1);
  assert.equal(sheet.readings.length, 5);
  assert.equal(sheet.readings.find((one) => one.id === kept['water-color'].id).word, 'green');
  await call('DELETE', '/api/zones/{id}', { id: zone.id });
  const rule = (await call('GET', '/api/rules')).rules[0].id;
  const override = await call('POST', '/api/overrides', { body: { water: water.id, rule, reason: 'I know this water', until: '2026-06-01' } });
  await call('GET', '/api/now', { query: '?water=Trial%20Pond' });
  assert.equal((await call('GET', '/api/waters/{id}', { id: water.id })).overrides.length, 1);
  await call('DELETE', '/api/overrides/{id}', { id: override.id });
  assert.ok((await call('GET', '/api/version')).revision > before);
});

test('surveys, depths and the shapes of zones are kept', async () => {
  const rows = [];
  for (let line = 0; line < 12; line += 1) {
    for (let i = 0; i < 40; i += 1) {
      const x = (i + 0.5) / 40;
      const y = (line + 0.5) / 12;
      rows.push(`${-86.4 + 0.002 * x},${33.1 + 0.002 * y},${(12 * Math.sin(Math.PI * x) * Math.sin(Math.PI * y)).toFixed(2)}`);
    }
  }
  const file = { name: 'trial.csv', text: `longitude,latitude,depth (ft)\n${rows.join('\n')}\n`, level: '-0.5 ft', date: '2026-04-01' };
  const before = (await call('GET', '/api/version')).revision;
  const tried = await call('POST', '/api/waters/{id}/surveys', { id: water.id, body: { ...file, dry_run: true } });
  assert.equal(tried.entry, null);
  assert.equal((await call('GET', '/api/version')).revision, before);
  const added = await call('POST', '/api/waters/{id}/surveys', { id: water.id, body: file });
  assert.equal(added.report.read, 480);
  assert.deepEqual(added.report, tried.report);
  assert.equal(added.entry.kind, 'survey');
  assert.equal((await call('GET', '/api/waters/{id}/surveys', { id: water.id })).surveys.length, 1);
  assert.equal((await call('POST', '/api/waters/{id}/surveys', { id: water.id, body: file, status: 409 })).error.id, 'conflict');
  const elsewhere = { ...file, name: 'other.csv', text: file.text.replaceAll('-86.', '-96.') };
  await call('POST', '/api/waters/{id}/surveys', { id: water.id, body: elsewhere, status: 400 });
  await call('POST', '/api/waters/{id}/surveys', { id: water.id, body: { name: 'x.csv' }, status: 400 });
  const survey = added.entry.id;
  await call('PATCH', '/api/surveys/{id}', { id: survey, body: { used: false, level: '-1 ft', offset: '8 in', name: 'trial lines', note: 'calm', kept: '3, 20-17', dropped: '1' }, status: 400 });
  await call('PATCH', '/api/surveys/{id}', { id: survey, body: { used: true, level: '-1 ft', offset: '8 in', name: 'trial lines', note: 'calm', kept: '17-20, 3', dropped: '1' } });
  await call('PATCH', '/api/surveys/{id}', { id: survey, body: { offset: null, dropped: null } });
  await call('PATCH', '/api/surveys/{id}', { id: 999999, body: { used: true }, status: 404 });
  const depth = await call('POST', '/api/waters/{id}/depths', { id: water.id, body: { latitude: 33.101, longitude: -86.399, depth: '9 ft', date: '2026-04-02' } });
  await call('POST', '/api/waters/{id}/depths', { id: water.id, body: { latitude: 33.101, longitude: -86.399, depth: '9' }, status: 400 });
  await call('POST', '/api/waters/{id}/depths', { id: water.id, body: { latitude: 33.201, longitude: -86.399, depth: '9 ft' }, status: 400 });
  const zone = await call('POST', '/api/zones', { body: { water: water.id, name: 'ramp', kind: 'launch', outline: { type: 'Point', coordinates: [-86.4, 33.101] } } });
  const line = { type: 'LineString', coordinates: [[-86.3995, 33.1005], [-86.399, 33.101], [-86.3985, 33.1015]] };
  await call('PATCH', '/api/zones/{id}', { id: zone.id, body: { name: 'old creek', kind: 'channel', outline: line, note: 'deep' } });
  const { zones } = await call('GET', '/api/waters/{id}', { id: water.id });
  assert.deepEqual(zones.map((one) => [one.name, one.kind, one.outline.type]), [['old creek', 'channel', 'LineString']]);
  await call('PATCH', '/api/zones/{id}', { id: zone.id, body: { outline: { type: 'Point', coordinates: [33.1, -86.4] } }, status: 400 });
  await call('DELETE', '/api/zones/{id}', { id: zone.id });
  await call('DELETE', '/api/surveys/{id}', { id: depth.id });
  await call('DELETE', '/api/surveys/{id}', { id: survey, body: { why: 'only a trial' } });
});

test('the shape of a water follows its soundings', async () => {
  const id = water.id;
  const basinOf = (query = '') => call('GET', '/api/waters/{id}/basin', { id, query });
  const told = await basinOf();
  assert.equal(told.way, 'told-mean');
  const rows = [];
  for (let line = 0; line < 24; line += 1) {
    for (let i = 0; i < 40; i += 1) {
      const x = (i + 0.5) / 40;
      const y = (line + 0.5) / 24;
      rows.push(`${-86.4 + 0.002 * x},${33.1 + 0.002 * y},${(12 * Math.sin(Math.PI * x) * Math.sin(Math.PI * y)).toFixed(2)}`);
    }
  }
  const survey = await call('POST', '/api/waters/{id}/surveys', { id, body: { name: 'shape.csv', text: `longitude,latitude,depth (ft)\n${rows.join('\n')}\n`, level: '0 ft', date: '2026-04-01' } });
  const full = await basinOf();
  assert.equal(full.way, 'sounded');
  assert.equal(full.surveys.length, 1);
  assert.ok(full.cross_validation.rmse.value < 0.3);
  // the mean of a product of two half sines is 4 / pi^2 of its top
  assert.ok(Math.abs(full.mean_depth.value / (12 * 0.3048 * 4 / Math.PI ** 2) - 1) < 0.02, full.mean_depth.shown);
  assert.ok(full.volume.low < full.volume.value && full.volume.value < full.volume.high);

  const bay = { type: 'Polygon', coordinates: [[[-86.4, 33.1], [-86.399, 33.1], [-86.399, 33.102], [-86.4, 33.102], [-86.4, 33.1]]] };
  const zone = await call('POST', '/api/zones', { body: { water: id, name: 'west half', kind: 'bay', outline: bay } });
  const level = await call('POST', '/api/readings', { body: { water: id, quantity: 'level', value: '-2 ft', on: '2026-04-05' } });
  const row = full.curve.find((one) => Math.abs(one.level.value + 0.6096) < 1e-6);
  const down = await basinOf('?level=-0.6096&at=33.101,-86.399&thermocline=1.5&shallower=3%20ft');
  assert.equal(down.full_pool, false);
  assert.ok(Math.abs(down.volume.value / row.volume.value - 1) < 1e-9);
  assert.ok(Math.abs(down.today.volume.value / row.volume.value - 1) < 1e-9);
  assert.ok(Math.abs(down.at.depth.value - 10 * 0.3048) < 0.15);
  assert.ok(Math.abs(down.thermocline.above.value + down.thermocline.below.value - down.volume.value) < 1);
  assert.ok(down.shallower.share.value > 0.1 && down.shallower.share.value < 0.6);
  assert.ok(Math.abs(down.zones.find((one) => one.name === 'west half').volume.value / down.volume.value - 0.5) < 0.01);
  // advice rests on it, at today's level
  const sheet = await call('GET', '/api/waters/{id}', { id });
  assert.equal(sheet.volume_from, 'depth map of 1 survey, 2026-04-01');
  assert.ok(Math.abs(sheet.volume.value / row.volume.value - 1) < 0.002);

  const map = await call('GET', '/api/waters/{id}/basin/map', { id });
  const { nx, ny, step, x0, y0 } = map.frame;
  assert.equal(map.depth.length, nx * ny);
  assert.equal(map.error.length, nx * ny);
  assert.equal(map.cover.length, (nx - 1) * (ny - 1));
  const area = map.cover.reduce((sum, percent) => sum + percent / 100, 0) * step * step;
  assert.ok(Math.abs(area / full.area.value - 1) < 0.005);
  // what a pointer reads off the map is what is said of the place
  const east = (-86.399 - map.corners[0][0]) / (map.corners[1][0] - map.corners[0][0]) * (nx - 1);
  const north = (33.101 - map.corners[0][1]) / (map.corners[3][1] - map.corners[0][1]) * (ny - 1);
  const node = Math.round(north) * nx + Math.round(east);
  assert.ok(Math.abs(map.depth[node] / 1000 - 0.6096 - down.at.depth.value) < 0.05);
  const contours = await call('GET', '/api/waters/{id}/basin/contours', { id, query: '?interval=1' });
  assert.equal(contours.interval, 1);
  assert.equal(contours.contours.length, 3);
  assert.ok(contours.contours[0].rings[0].every(([x, y]) => x >= x0 && x <= x0 + step * (nx - 1) && y >= y0 && y <= y0 + step * (ny - 1)));
  const soundings = await call('GET', '/api/waters/{id}/soundings', { id });
  assert.equal(soundings.count, 960);
  assert.equal(soundings.shown, 960);
  for (const column of Object.values(soundings.soundings)) assert.equal(column.length, 960);
  assert.ok(soundings.soundings.residual.some((one) => one !== null));

  const refuse = (template, query, status = 400) => call('GET', template, { id, query, status });
  await refuse('/api/waters/{id}/basin', '?level=deep');
  await refuse('/api/waters/{id}/basin', '?level=400');
  await refuse('/api/waters/{id}/basin', '?at=33.1');
  await refuse('/api/waters/{id}/basin', '?at=33.2,-86.399', 404);
  await refuse('/api/waters/{id}/basin', '?step=0');
  await refuse('/api/waters/{id}/basin/contours', '?interval=0.001');
  await call('GET', '/api/waters/{id}/basin', { id: 999999, status: 404 });
  await call('DELETE', '/api/readings/{id}', { id: level.id });
  await call('DELETE', '/api/zones/{id}', { id: zone.id });
  await call('DELETE', '/api/surveys/{id}', { id: survey.id ?? survey.entry.id });
  const again = await basinOf();
  assert.equal(again.way, 'told-mean');
  const bare = await call('POST', '/api/waters', { body: { name: 'No Outline', area: '2 acre', mean_depth: '4 ft' } });
  const fault = await call('GET', '/api/waters/{id}/basin', { id: bare.id, status: 400 });
  assert.match(fault.error.message, /outline/);
  await call('DELETE', '/api/waters/{id}', { id: bare.id });
});

test('materials, lots and treatments are kept', async () => {
  const material = await call('POST', '/api/materials', { body: { name: 'trial liquid 10-34-0', kind: 'fertilizer', form: 'liquid', grade: '10-34-0', package: '1 gal', density: '11.65 lb/gal', price: '12.00' } });
  await call('PATCH', '/api/materials/{id}', { id: material.id, body: { price: '13.50', note: 'in the shed' } });
  const lot = await call('POST', '/api/lots', { body: { material: material.id, packages: '6', price: '13.50', on: '2026-04-01' } });
  const spare = await call('POST', '/api/lots', { body: { material: material.id, packages: '1' } });
  await call('DELETE', '/api/lots/{id}', { id: spare.id });
  const treatment = await call('POST', '/api/treatments', { body: { water: water.id, material: material.id, amount: '4 packages', on: '2026-04-07', purpose: 'feed', conditions: 'light wind', by: 'second hand' } });
  const shelf = await call('GET', '/api/shelf');
  const line = shelf.materials.find((one) => one.id === material.id);
  assert.equal(line.bought, 6);
  assert.equal(line.used, 4);
  assert.equal(line.left, 2);
  const sheet = await call('GET', '/api/waters/{id}', { id: water.id });
  const kept = sheet.treatments.find((one) => one.id === treatment.id);
  assert.ok(Math.abs(kept.mass.value - 4 * 11.65 * 0.45359237) < 0.01);
  const refused = await call('DELETE', '/api/materials/{id}', { id: material.id, status: 409 });
  assert.equal(refused.error.id, 'conflict');
  await call('GET', '/api/season/{id}', { id: water.id });
  await call('DELETE', '/api/treatments/{id}', { id: treatment.id });
  await call('DELETE', '/api/lots/{id}', { id: lot.id });
  await call('DELETE', '/api/materials/{id}', { id: material.id });
});

test('a change can be taken back', async () => {
  const note = await call('POST', '/api/notes', { body: { water: water.id, text: 'to be taken back' } });
  await call('POST', '/api/undo', { body: { change: note.change, why: 'a slip' } });
  const { notes } = await call('GET', '/api/waters/{id}', { id: water.id });
  assert.ok(!notes.some((one) => one.id === note.id));
  await call('POST', '/api/undo', { body: { change: 999999 }, status: 404 });
  const again = await call('POST', '/api/notes', { body: { water: water.id, text: 'also taken back' } });
  await call('POST', '/api/undo', { body: {} });
  const { entries } = await call('GET', '/api/log', { query: '?limit=2' });
  assert.equal(entries[0].undoes, again.change);
});

test('settings are kept and go back to the default', async () => {
  const { program: rows } = await call('GET', '/api/rules');
  const key = rows[0].key;
  await call('PUT', '/api/settings', { body: { units: 'metric', place: 'Trial Place' } });
  const metric = await call('GET', '/api/settings');
  assert.equal(metric.units, 'metric');
  assert.equal(metric.place, 'Trial Place');
  await call('GET', '/api/waters');
  await call('GET', '/api/shelf');
  await call('PUT', '/api/settings', { body: { [key]: `${rows[0].value.value} ${rows[0].value.unit}` } });
  assert.ok(key in await call('GET', '/api/settings'));
  await call('PUT', '/api/settings', { body: { [key]: null, units: 'us' } });
  assert.ok(!(key in await call('GET', '/api/settings')));
});

test('every method explains itself, and works through what the advice cites', async () => {
  const { methods } = await call('GET', '/api/methods');
  for (const { name } of methods) {
    const method = await call('GET', '/api/methods/{name}', { name });
    assert.equal(method.method, name);
    assert.equal(method.inputs, null);
  }
  const dose = await call('GET', '/api/methods/{name}', { name: 'material-dose', query: '?area=12%20acre&rate=4%20lb/acre&grade=12-48-8' });
  assert.ok(Object.keys(dose.outputs).length > 0);
  const { waters } = await call('GET', '/api/now');
  const cited = waters.flatMap((one) => one.items).map((item) => item.amount).filter((amount) => amount?.method);
  for (const { method, query } of cited) {
    const worked = await call('GET', '/api/methods/{name}', { name: method, query: `?${query}` });
    assert.ok(Object.keys(worked.outputs).length > 0, `${method}?${query}`);
  }
  await call('GET', '/api/methods/{name}', { name: 'no-such-method', status: 404 });
  await call('GET', '/api/methods/{name}', { name: 'material-dose', query: '?area=12%20elephants', status: 400 });
});

test('what cannot be is refused as described, and nothing is kept', async () => {
  const before = (await call('GET', '/api/version')).revision;
  const bad = (method, template, body, status, id) => call(method, template, { id, body, status });
  await bad('POST', '/api/waters', {}, 400);
  await bad('POST', '/api/waters', { name: 'Other', area: '4 elephants' }, 400);
  await bad('POST', '/api/waters', { name: 'Other', nonsense: '1' }, 400);
  await bad('POST', '/api/waters', { name: 'trial pond' }, 409);
  await bad('PATCH', '/api/waters/{id}', { name: 'x' }, 404, 999999);
  await bad('POST', '/api/readings', { water: water.id, quantity: 'secchi', value: '-3 in' }, 400);
  await bad('POST', '/api/readings', { water: water.id, quantity: 'courage', value: '3' }, 400);
  await bad('POST', '/api/readings', { water: 999999, quantity: 'secchi', value: '30 in' }, 404);
  await bad('POST', '/api/readings', { quantity: 'secchi', value: '30 in' }, 400);
  await bad('POST', '/api/readings', { water: water.id, quantity: 'secchi', value: '30 in', on: '2026-02-30' }, 400);
  await bad('POST', '/api/overrides', { water: water.id, rule: 'no-such-rule', reason: 'x' }, 404);
  await bad('PUT', '/api/settings', { 'no-such-key': '1' }, 404);
  await bad('DELETE', '/api/notes/{id}', undefined, 404, 999999);
  await call('GET', '/api/now', { query: '?on=tomorrow', status: 400 });
  await call('GET', '/api/log', { query: '?limit=0', status: 400 });
  await call('GET', '/api/waters/{id}', { id: 999999, status: 404 });
  assert.equal((await call('GET', '/api/version')).revision, before);
});

test('a request names no file of this machine', async () => {
  const file = join(folder, 'outline.geojson');
  writeFileSync(file, JSON.stringify({ type: 'Polygon', coordinates: [[[-86.4, 33.1], [-86.3, 33.1], [-86.3, 33.2], [-86.4, 33.1]]] }));
  for (const key of ['outline-file', 'outline_file']) {
    await call('POST', '/api/waters', { body: { name: `From ${key}`, [key]: file }, status: 400 });
    await call('POST', '/api/zones', { body: { water: water.id, name: 'x', kind: 'bay', [key]: file }, status: 400 });
  }
});

test('refusals of the server are faults as described', async () => {
  const fault = pointer('components', 'schemas', 'Fault');
  const rows = [
    ['GET', '/api/version', undefined, { Host: 'elsewhere.example' }, 421],
    ['POST', '/api/notes', { text: 'x' }, { Origin: 'http://elsewhere.example' }, 403],
    ['POST', '/api/notes', { text: 'x' }, { 'Content-Type': 'text/plain' }, 415],
    ['PUT', '/api/version', {}, {}, 405],
    ['GET', '/api/nothing', undefined, {}, 404],
    ['GET', '/nothing', undefined, {}, 404],
    ['GET', '/api/%2e%2e/x', undefined, {}, 400],
  ];
  for (const [method, path, body, headers, status] of rows) {
    const answer = await ask(method, path, body, headers);
    assert.equal(answer.status, status, `${method} ${path}`);
    hold(JSON.parse(answer.text), fault, `the refusal of ${method} ${path}`);
  }
});

test('a method that a path does not take is answered with those it does', async () => {
  for (const [template, item] of Object.entries(description.paths)) {
    const path = template.replace('{id}', '1').replace('{name}', 'material-dose');
    const takes = ['get', 'post', 'put', 'patch', 'delete'].filter((verb) => item[verb]);
    for (const verb of ['get', 'post', 'put', 'patch', 'delete'].filter((one) => !item[one])) {
      const answer = await ask(verb.toUpperCase(), path, verb === 'get' ? undefined : {});
      assert.equal(answer.status, 405, `${verb} ${path}`);
      const allow = answer.headers.allow.toLowerCase().split(', ').filter((one) => one !== 'head');
      assert.deepEqual(allow, takes, `${verb} ${path}`);
    }
  }
});

test('the water goes last, with its records', async () => {
  const { readings } = await call('GET', '/api/waters/{id}', { id: water.id });
  await call('DELETE', '/api/waters/{id}', { id: water.id, status: 409 });
  for (const { id } of readings) await call('DELETE', '/api/readings/{id}', { id });
  await call('DELETE', '/api/waters/{id}', { id: water.id });
  await call('GET', '/api/waters/{id}', { id: water.id, status: 404 });
});

test('every operation described was called, and every route of the program is described', () => {
  const described = Object.entries(description.paths).flatMap(([template, item]) =>
    ['get', 'post', 'put', 'patch', 'delete'].filter((verb) => item[verb]).map((verb) => `${verb.toUpperCase()} ${template}`));
  assert.deepEqual(described.filter((one) => !called.has(one)), []);
  const source = readFileSync(join(root, 'src/work/api_routes.c'), 'utf8');
  const routes = [...source.matchAll(/\{"([A-Z]+)",\s*"(\/[^"]*)"/g)].map(([, method, path]) => `${method} /api${path.replace('ID', '{id}').replace('NAME', '{name}')}`);
  assert.ok(routes.length > 20);
  assert.deepEqual(routes.sort(), described.filter((one) => one !== 'GET /api/openapi.json').sort());
});

test('it stops cleanly on both signals', async () => {
  assert.deepEqual(await stopWith(server, 'SIGINT'), { code: 0, signal: null });
  server = await start(join(folder, 'demo.lake'));
  const began = Date.now();
  assert.deepEqual(await stopWith(server, 'SIGTERM'), { code: 0, signal: null });
  assert.ok(Date.now() - began < 5000);
});
