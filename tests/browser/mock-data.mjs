// SPDX-License-Identifier: Apache-2.0
// Invented answers for mock-server.mjs: the Sedgewater waters in mid April. A disk reading moves the
// verdict by one crude rule, only so that the page has something to redraw.
import { addBasins, basinRoutes } from './mock-basin-routes.mjs';

const TODAY = '2026-04-15';
const IN = 0.0254;
const inches = (n) => ({ value: n * IN, unit: 'm', shown: `${n} in` });
const q = (value, unit, shown) => ({ value, unit, shown });
const dollars = (n) => q(n, '$', `$${n.toFixed(2)}`);
const cited = (name, value, unit, shown, date) => ({ name, value, unit, shown, date });

const QUANTITIES = [
  ['secchi', 'clarity (disk depth)', 'm', 'in', 'cm', null, 'Lower a black-and-white disk on a marked line in the shade, near midday, until it just disappears, and read the line.'],
  ['water-color', 'water colour', '1', '1', '1', ['green', 'brown-mud', 'tea', 'clear'], 'Look at a white cup of the water: green, muddy brown, tea-coloured or clear.'],
  ['alkalinity', 'total alkalinity', 'mg/L', 'mg/L', 'mg/L', null, 'A drop-count alkalinity kit takes five minutes at the bank.'],
  ['hardness', 'total hardness', 'mg/L', 'mg/L', 'mg/L', null, 'A drop-count hardness kit takes five minutes at the bank.'],
  ['ph', 'pH', '1', '1', '1', null, 'A pH kit or meter, at dawn and again in the afternoon.'],
  ['temperature', 'water temperature', 'degC', 'degF', 'degC', null, 'A thermometer a foot under the surface, mid-morning.'],
  ['oxygen', 'dissolved oxygen', 'mg/L', 'mg/L', 'mg/L', null, 'An oxygen meter or drop kit at dusk and two to three hours later.'],
  ['weed-cover', 'weed cover', '%', '%', '%', null, 'Go round by boat and judge what share of the surface has weeds to the top or in sight.'],
  ['mud-ph', 'mud pH', '1', '1', '1', null, 'Twelve scoops of bottom mud, mixed, dried and sent to a soil laboratory.'],
  ['outflow', 'outflow', 'm3/s', 'cfs', 'L/s', null, 'Measure the head over the spillway and its length; weir-flow gives the flow.'],
  ['level', 'water level against full pool', 'm', 'in', 'cm', null, 'Read the staff gauge, below full pool as a minus.'],
].map(([name, label, unit, us_unit, metric_unit, choices, how]) => ({ name, label, unit, us_unit, metric_unit, choices, how }));

const ALABAMA = 'Alabama Division of Wildlife and Freshwater Fisheries, Fertilizing Ponds';
const SRAC = 'Wurts and Masser (2013), Liming Ponds for Aquaculture, SRAC Publication 4100';

function waterSeeds() {
  const series = (list) => list.map(([date, n]) => ({ quantity: 'secchi', date, value: n * IN, unit: 'm', shown: `${n} in` }));
  const more = (quantity, unit, show, list) => list.map(([date, value]) => ({ quantity, date, value, unit, shown: show(value) }));
  const f = (v) => `${Math.round(v * 1.8 + 32)} degF`;
  return [
    { id: 1, name: 'Upper Sedge', acres: 38, depth: 7, readings: [
      ...series([['2025-05-06', 44], ['2025-05-20', 31], ['2025-06-04', 22], ['2025-06-19', 19], ['2025-07-10', 24], ['2025-08-03', 21], ['2025-09-14', 27], ['2026-03-02', 58], ['2026-03-21', 51], ['2026-04-02', 46], ['2026-04-12', 40]]),
      ...more('alkalinity', 'mg/L', (v) => `${v} mg/L`, [['2025-05-06', 31], ['2025-09-14', 36], ['2026-03-02', 34]]),
      ...more('temperature', 'degC', f, [['2025-05-06', 21], ['2025-06-19', 28], ['2025-08-03', 30], ['2025-09-14', 26], ['2026-03-02', 12], ['2026-03-21', 15], ['2026-04-12', 18.3]]),
      { quantity: 'water-color', date: '2026-04-12', value: 3, unit: '1', shown: 'clear' }] },
    { id: 2, name: 'Heron Pool', acres: 6, depth: 5, readings: [...series([['2026-03-21', 61], ['2026-04-10', 57]]), ...more('alkalinity', 'mg/L', (v) => `${v} mg/L`, [['2026-03-21', 9]]), { quantity: 'mud-ph', date: '2026-02-11', value: 5.2, unit: '1', shown: '5.2' }] },
    { id: 3, name: 'Long Run', acres: 96, depth: 6, readings: [...series([['2026-03-10', 33], ['2026-03-28', 27], ['2026-04-13', 20]]), ...more('alkalinity', 'mg/L', (v) => `${v} mg/L`, [['2026-03-10', 42]]), ...more('temperature', 'degC', f, [['2026-03-28', 16], ['2026-04-13', 19]]), { quantity: 'water-color', date: '2026-04-13', value: 0, unit: '1', shown: 'green' }] },
    { id: 4, name: 'Brickyard', acres: 2, depth: 4, readings: [...series([['2026-04-01', 14], ['2026-04-13', 9]])] },
  ];
}

const MATERIALS = [
  { id: 1, name: 'powder 12-48-8', kind: 'fertilizer', form: 'soluble-powder', grade: '12-48-8', package: q(22.68, 'kg', '50 lb'), price: dollars(42), left: 6, bought: 10, used: 4, price_per_active: q(3.86, '$/kg', '$1.75'), active: "P2O5", active_per: "lb", density: null, neutralizing_value: null, fineness: null, note: "", enough_until: '2026-05-06', lots: [{ id: 1, date: '2026-02-20', packages: 10, price: dollars(42), note: '' }] },
  { id: 2, name: 'liquid 10-34-0', kind: 'fertilizer', form: 'liquid', grade: '10-34-0', package: q(3.785, 'L', '1 gal'), price: dollars(11.5), left: 12, bought: 30, used: 18, price_per_active: q(6.4, '$/kg', '$2.90'), active: "P2O5", active_per: "lb", density: null, neutralizing_value: null, fineness: null, note: "", enough_until: '2026-04-29', lots: [{ id: 2, date: '2025-03-12', packages: 30, price: dollars(11.5), note: 'tote at the barn' }] },
  { id: 3, name: 'granular 20-20-5', kind: 'fertilizer', form: 'granular', grade: '20-20-5', package: q(22.68, 'kg', '50 lb'), price: null, left: null, bought: 0, used: 0, price_per_active: null, active: null, active_per: "lb", density: null, neutralizing_value: null, fineness: null, note: "", enough_until: null, lots: [] },
  { id: 4, name: 'ground limestone', kind: 'lime', form: 'ground', grade: '', package: q(907, 'kg', '1 ton'), price: dollars(38), left: 0, bought: 0, used: 0, price_per_active: null, active: null, active_per: "lb", density: null, neutralizing_value: null, fineness: null, note: "", enough_until: null, lots: [] },
];

const empty = { amount: null, by: null, look_again: null, urgency: 2, measure: null, reasons: [], cautions: [], steps: [], choices: [] };
const choice = (material, form, grade, packages, per, left, cost, price, chosen) => ({ material, form, grade, mass: q(packages * 22.68, 'kg', `${packages * 50} lb`), volume: null, packages, left, to_buy: left === null ? null : Math.max(0, packages - left), cost: cost ? dollars(cost) : null, price_per_active: price, active: "P2O5", active_per: "lb", shown: `${packages} x ${per}`, chosen });

function feedItem(water, disk) {
  const n = Math.round(disk.value / IN);
  const input = cited('secchi', disk.value, 'm', disk.shown, disk.date);
  if (n > 24) {
    const sacks = Math.max(1, Math.round(water.acres * 5 / 50));
    return { ...empty, subject: 'feeding the bloom', verdict: 'do', headline: `Feed ${sacks} sacks of powder 12-48-8: the disk is at ${n} in, deeper than your aim of 18 to 24 in.`, urgency: 1, by: '2026-04-18',
      amount: { value: sacks * 22.68, unit: 'kg', low: sacks * 22.68, high: sacks * 22.68, shown: `${sacks} sacks of 50 lb (${sacks * 50} lb)`, method: 'material-dose', query: `area=${water.acres}%20acre&rate=5%20lb/acre&grade=12-48-8&package=50%20lb` },
      reasons: [
        { rule: 'feed-clarity-deep', text: `The disk is at ${n} in, deeper than 24 in: the bloom is thin and food is short.`, decides: true, set_aside: null, inputs: [input], source: ALABAMA, basis: 'read' },
        { rule: 'feed-warm', text: 'The surface is at 65 degF, above the 60 degF at which feeding may begin.', decides: false, set_aside: null, inputs: [cited('temperature', 18.3, 'degC', '65 degF', '2026-04-12')], source: ALABAMA, basis: 'read' },
        { rule: 'feed-alkalinity', text: 'Alkalinity is 34 mg/L, enough for a bloom to answer.', decides: false, set_aside: null, inputs: [cited('alkalinity', 34, 'mg/L', '34 mg/L', '2026-03-02')], source: SRAC, basis: 'read' },
        { rule: 'feed-retention', text: 'Water stays about 70 days, longer than the 28 asked for.', decides: false, set_aside: null, inputs: [cited('retention', 70, 'day', '70 days', null)], source: 'Boyd and Tucker (1998), Pond Aquaculture Water Quality Management', basis: 'memory' }],
      cautions: ['Pour astern with the wind behind you; the dust burns eyes: goggles and gloves.', 'Keep 8 lb/acre of phosphate as the most in one day; too much can end in a night without oxygen.'],
      steps: ['Load no more sacks than the boat may carry with you in it; wear life jackets.', 'Broadcast over water deeper than 2 ft, along a winding course, half of the arm included.', 'Wash the boat and write down what was really put out.'],
      choices: [choice('powder 12-48-8', 'soluble-powder', '12-48-8', sacks, '50 lb', 6, sacks * 42, q(3.86, '$/kg', '$1.75'), true), choice('liquid 10-34-0', 'liquid', '10-34-0', sacks * 7, '1 gal', 12, sacks * 7 * 11.5, q(6.4, '$/kg', '$2.90'), false), choice('granular 20-20-5', 'granular', '20-20-5', sacks * 8, '50 lb', null, null, null, false)] };
  }
  return { ...empty, subject: 'feeding the bloom', verdict: 'hold', headline: `Hold. The disk is at ${n} in, inside your aim.`, look_again: '2026-04-27', reasons: [{ rule: 'feed-clarity-inside', text: `The disk is at ${n} in, between 18 and 24 in: the bloom is as wanted.`, decides: true, set_aside: null, inputs: [input], source: ALABAMA, basis: 'read' }] };
}

const quiet = (subject, headline) => ({ ...empty, subject, verdict: 'hold', headline, look_again: '2026-05-15' });

function itemsFor(water) {
  const last = (name) => water.readings.filter((one) => one.quantity === name).at(-1);
  const disk = last('secchi');
  if (!disk) return [{ ...empty, subject: 'missing measurements', verdict: 'ask', measure: 'secchi', urgency: 1, headline: 'Lower the disk: without it nothing can be said about feeding.', steps: [QUANTITIES[0].how] }];
  if (water.id === 2) return [
    { ...empty, subject: 'lime', verdict: 'do', urgency: 1, by: '2026-11-30', headline: 'Lime first: alkalinity is 9 mg/L and the mud pH 5.2, so food would be wasted.', amount: { value: 16330, unit: 'kg', low: 10900, high: 16330, shown: '18 tons (3 tons/acre)', method: 'lime-requirement', query: 'mud-ph=5.2&buffer-ph=7.0&area=6%20acre' }, cautions: ['Ground limestone only: quick or hydrated lime can kill the fish of a stocked pond and burns skin and eyes.'], steps: ['Spread evenly over the whole bottom, from a barge or on the dry bed.', 'Wait two weeks, test alkalinity again, then feed.'], reasons: [{ rule: 'lime-alkalinity', text: 'Alkalinity is 9 mg/L, under the 20 mg/L that a bloom needs.', decides: true, set_aside: null, inputs: [cited('alkalinity', 9, 'mg/L', '9 mg/L', '2026-03-21'), cited('mud-ph', 5.2, '1', '5.2', '2026-02-11')], source: SRAC, basis: 'read' }], choices: [{ ...choice('ground limestone', 'ground', '', 18, '1 ton', 0, 684, q(0.05, '$/kg', '$0.02'), true), active: 'CaCO3' }] },
    { ...quiet('feeding the bloom', 'Hold. Lime comes first; feed two weeks after.'), urgency: 2 }, quiet('weeds', 'No weeds were seen.'), quiet('oxygen', 'No danger tonight.')];
  if (water.id === 4) return [
    { ...empty, subject: 'feeding the bloom', verdict: 'ask', measure: 'water-color', urgency: 1, by: TODAY, headline: 'Is the water green or brown? The disk is at 9 in, which is either too green or only mud.', steps: ['Look at a white cup of the water: green, muddy brown, tea-coloured or clear.'], reasons: [{ rule: 'feed-mud', text: 'A disk at 9 in may hang in mud. Mud must never count as a bloom.', decides: true, set_aside: water.aside ?? null, inputs: [cited('secchi', disk.value, 'm', disk.shown, disk.date)], source: 'Neal, Fertilizing Mississippi Farm Ponds, Mississippi State University Extension', basis: 'read' }] },
    { ...empty, subject: 'too-green water', verdict: 'ask', measure: 'oxygen', urgency: 0, headline: 'If it is green: measure oxygen at dusk and again two hours later.', cautions: ['Water this green can lose its oxygen in one hot still night and kill the fish.'], steps: ['Measure a foot under the surface, at dusk and two to three hours later.'], reasons: [{ rule: 'green-alarm', text: 'The disk is at 9 in, shallower than 12 in.', decides: true, set_aside: null, inputs: [cited('secchi', disk.value, 'm', disk.shown, disk.date)], source: ALABAMA, basis: 'read' }] }, quiet('weeds', 'Weeds get no light under 9 in.')];
  return [feedItem(water, disk), ...(water.id === 1 ? [{ ...empty, subject: 'stock on the shelf', verdict: 'do', headline: 'Buy 6 sacks of powder 12-48-8 before May 6.', by: '2026-05-06' }] : []), ...(water.id === 3 ? [{ ...empty, subject: 'missing measurements', verdict: 'ask', measure: 'outflow', headline: 'Measure the outflow: it decides whether the water stays long enough to be worth feeding.', steps: [QUANTITIES[9].how] }] : []), quiet('lime', 'Alkalinity is good.'), quiet('weeds', 'Weed cover is low.'), quiet('oxygen', 'No danger tonight.')];
}

const METHOD = { method: 'material-dose', title: 'Dose of a material', purpose: 'How much of a material a water gets at a rate per area, in mass, whole packages and nutrients.', formula: 'mass = area × rate\npackages = ⌈mass / package⌉\nP2O5 = mass × grade₂ / 100;  P = 0.4364 × P2O5', source: 'Arithmetic; phosphorus share of P2O5 from atomic masses', basis: 'computed', limits: 'The rate must come from a label or a published program.', takes: [
  { name: 'area', meaning: 'surface of the water', kind: 'number', unit: 'm2', optional: false, default: null, low: 1, high: 1e10, choices: null },
  { name: 'rate', meaning: 'mass per area', kind: 'number', unit: 'kg/ha', optional: false, default: null, low: 0, high: 10000, choices: null },
  { name: 'grade', meaning: 'percent N, P2O5, K2O', kind: 'text', unit: null, optional: false, default: null, low: null, high: null, choices: null },
  { name: 'package', meaning: 'mass in one package', kind: 'number', unit: 'kg', optional: true, default: null, low: 0.1, high: 2000, choices: null }],
  gives: [{ name: 'mass', meaning: 'mass to put out', unit: 'kg' }, { name: 'packages', meaning: 'whole packages', unit: '1' }, { name: 'p2o5', meaning: 'phosphate in it', unit: 'kg' }], inputs: null, outputs: null };
const METHODS = [METHOD, { ...METHOD, method: 'light-attenuation', title: 'Light from the disk', purpose: 'How deep light reaches, from the depth at which the disk disappears.', formula: 'k = 1.7 / Secchi;  depth of 1 % light = 4.605 / k', source: 'Poole and Atkins (1929), J. Mar. Biol. Assoc. UK 16', takes: [{ name: 'secchi', meaning: 'disk depth', kind: 'number', unit: 'm', optional: false, default: null, low: 0.05, high: 40, choices: null }, { name: 'factor', meaning: 'clear 1.7, turbid 1.44', kind: 'number', unit: '1', optional: true, default: 1.7, low: 0.5, high: 3, choices: null }], gives: [{ name: 'attenuation', meaning: 'attenuation', unit: '1/m' }, { name: 'depth-one-percent', meaning: 'depth with one per cent of the light', unit: 'm' }] }, { ...METHOD, method: 'lime-requirement', title: 'Lime requirement of mud', purpose: 'How much ground limestone brings the alkalinity of a water over acid mud to 20 mg/L.', formula: 'LR = k(mud pH) × (8.00 − buffer pH) / 0.1', source: 'Boyd (1974), after Boyd and Tucker (1998)', basis: 'memory', takes: METHOD.takes.slice(0, 1), gives: METHOD.gives.slice(0, 1) }];

export function makeMock(isEmpty) {
  const state = { waters: isEmpty ? [] : waterSeeds(), materials: isEmpty ? [] : structuredClone(MATERIALS), log: [], revision: 57, change: 0, overrides: [], units: 'us' };
  let id = 100;
  for (const water of state.waters) for (const one of water.readings) Object.assign(one, { id: ++id, depth: null, by: 'first hand', note: '' });
  if (!isEmpty) state.log.push({ change: 0, at: '2026-04-13T14:02:00Z', who: 'first hand', why: '', action: 'Brickyard: clarity 9 in on 2026-04-13', undoes: 0, undone_by: 0, records: 1 }, { change: -1, at: '2026-04-13T13:30:00Z', who: 'first hand', why: '', action: 'Long Run: clarity 20 in on 2026-04-13', undoes: 0, undone_by: 0, records: 1 });
  addBasins(state.waters);
  const fault = (status, kind, message, field = null) => ({ status, json: { error: { id: kind, message, field } } });
  const ok = (json) => ({ status: 200, json });
  const find = (n) => state.waters.find((one) => one.id === Number(n));
  const entry = (kind, recordId, shown, undo, warning = null) => {
    state.revision++;
    state.log.unshift({ change: ++state.change, at: new Date().toISOString(), who: 'the keeper', why: '', action: shown, undoes: 0, undone_by: 0, records: 1, undo });
    return ok({ change: state.change, kind, id: recordId, shown, warning, revision: state.revision });
  };
  const line = (water) => {
    const disk = water.readings.filter((one) => one.quantity === 'secchi').map(({ date, value, shown }) => ({ date, value, shown }));
    const last = disk.at(-1);
    return { id: water.id, name: water.name, area: water.acres ? q(water.acres * 4046.86, 'm2', `${water.acres} acre`) : null, mean_depth: water.depth ? q(water.depth * 0.3048, 'm', `${water.depth} ft`) : null, volume: water.acres && water.depth ? q(1, 'm3', `${water.acres * water.depth} acre-ft`) : null, aim_low: inches(18), aim_high: inches(24), alarm: inches(12), clarity: last ? { ...last, unit: 'm' } : null, clarity_history: disk.slice(-8) };
  };
  const sheet = (water) => {
    const names = [...new Set(water.readings.map((one) => one.quantity))];
    const label = (name) => QUANTITIES.find((one) => one.name === name).label;
    return { ...line(water), facts: { name: water.name, place: '33.1,-86.4', area: q(water.acres * 4046.86, 'm2', `${water.acres} acre`), mean_depth: q(water.depth * 0.3048, 'm', `${water.depth} ft`), aim_low: inches(18), aim_high: inches(24), alarm: null, use: 'fishing', harvest: 'yes', downstream: 'nobody', fish: 'stocked', season_start: '04-01', outflow: q(0.1, 'm3/s', '1.2 cfs'), note: '', outline: water.outline ?? null }, area_from: 'as given', volume_from: 'area times mean depth', retention: q(70 * 86400, 's', '70 days'), perimeter: null, aim: { low: inches(18), high: inches(24), alarm: inches(12) }, latest: names.map((name) => ({ ...water.readings.filter((one) => one.quantity === name).at(-1), label: label(name), fresh: name !== 'alkalinity' })), readings: [...water.readings].sort((a, b) => a.date.localeCompare(b.date)), treatments: water.id === 1 ? [['2025-05-07', '4 sacks (200 lb)'], ['2025-05-21', '4 sacks (200 lb)'], ['2025-06-05', '2 sacks (100 lb)'], ['2025-08-30', '4 sacks (200 lb)']].map(([date, shown], at) => ({ id: at + 1, material: 'powder 12-48-8', grade: '12-48-8', purpose: 'feed', mass: q(90, 'kg', '200 lb'), volume: null, shown, date, by: 'second hand', conditions: 'light south wind', note: '' })) : [], notes: water.id === 1 ? [{ id: 1, date: '2026-03-30', text: 'Water lilies coming up in the arm; two otters at the spillway.', by: 'first hand' }] : [], overrides: state.overrides.filter((one) => one.water === water.id), zones: water.zones ?? [] };
  };
  const reading = (body) => {
    const water = find(body.water);
    const quantity = QUANTITIES.find((one) => one.name === body.quantity);
    if (!water || !quantity) return fault(400, 'invalid', 'there is no such water or quantity', 'water');
    const number = parseFloat(body.value);
    if (!quantity.choices && !Number.isFinite(number)) return fault(400, 'invalid', `${quantity.label} is '${body.value}', which is not a number with a unit; write it like 18 in or 45 cm`, 'value');
    if (body.quantity === 'secchi' && number * IN > 20) return fault(400, 'invalid', `clarity (disk depth) of '${body.value}' is not possible; expected between 0.01 m and 20 m; check the number and its unit`, 'value');
    const value = body.quantity === 'secchi' ? number * IN : quantity.choices ? quantity.choices.indexOf(body.value) : number;
    const one = { id: ++id, quantity: body.quantity, value, unit: quantity.unit, shown: String(body.value), date: body.on ?? TODAY, depth: null, by: body.by ?? '', note: body.note ?? '' };
    water.readings.push(one);
    return entry('reading', one.id, `${water.name}: ${quantity.label} ${body.value} on ${one.date}`, () => water.readings.splice(water.readings.indexOf(one), 1), body.quantity === 'secchi' && number > 157 ? `A disk depth of ${body.value} is rare in a fishing water. Is it right?` : null);
  };
  const undo = (body) => {
    const at = state.log.find((one) => one.change === body.change);
    if (!at?.undo || at.undone_by) return fault(409, 'conflict', 'that change was already taken back');
    at.undo();
    const answer = entry('undo', 0, `took back: ${at.action}`, null);
    at.undone_by = state.change;
    state.log[0].undoes = at.change;
    return answer;
  };
  const method = (name, search) => {
    const found = METHODS.find((one) => one.method === name);
    if (!found) return fault(404, 'not-found', `there is no method '${name}'`);
    if (![...search].length) return ok(found);
    if (search.get('rate') === 'x') return fault(400, 'invalid', "rate is 'x', which is not a number", 'rate');
    return ok({ ...found, inputs: Object.fromEntries([...search].map(([key, value]) => [key, { value, unit: null }])), outputs: Object.fromEntries(found.gives.map((give, at) => [give.name, { value: [86.18, 4, 41.37][at], unit: give.unit }])) });
  };
  const rules = () => ({ rules: [{ id: 'feed-clarity-deep', subject: 'feeding the bloom', condition: 'the disk is deeper than the lower edge of the aim', source: ALABAMA, basis: 'read' }, { id: 'feed-mud', subject: 'feeding the bloom', condition: 'the colour is brown or not known and the disk is shallow', source: 'Mississippi State University Extension', basis: 'read' }, { id: 'lime-alkalinity', subject: 'lime', condition: 'alkalinity is under the least', source: SRAC, basis: 'read' }], program: [{ key: 'aim-low', meaning: 'upper edge of the aim', value: inches(18), fallback: inches(18), source: 'common southern recommendation', basis: 'memory' }, { key: 'aim-high', meaning: 'lower edge of the aim', value: inches(24), fallback: inches(24), source: 'common southern recommendation', basis: 'memory' }, { key: 'alkalinity-min', meaning: 'lime below this alkalinity', value: q(20, 'mg/L', '20 mg/L'), fallback: q(20, 'mg/L', '20 mg/L'), source: SRAC, basis: 'read' }, { key: 'start-temperature', meaning: 'water warm enough to begin', value: q(16.7, 'degC', '62 degF'), fallback: q(15.6, 'degC', '60 degF'), source: ALABAMA, basis: 'read' }] });
  const season = (water) => ({ water: water.name, from: TODAY, to: '2026-10-31', doses: ['2026-04-18', '2026-05-02', '2026-05-16', '2026-06-13', '2026-07-11'].map((date, at) => ({ date, number: at + 1, material: 'powder 12-48-8', packages: 4, mass: q(90.7, 'kg', '200 lb'), cost: dollars(168), first: at < 3 })), total: { packages: 20, cost: dollars(840) }, assumptions: ['Three opening doses two weeks apart, then every four weeks.', 'Each later dose only when the disk is deeper than the aim.'], note: 'Five doses, about 20 sacks, if the bloom answers as usual.' });
  const basins = basinRoutes({ state, find, entry, fault, ok, newId: () => ++id, today: TODAY });
  return (verb, path, search, body) => {
    const [, head, second] = path.split('/');
    const ofBasin = basins(verb, path.split('/').slice(1), search, body);
    if (ofBasin) return ofBasin;
    const key = `${verb} ${head}`;
    if (key === 'GET version') return ok({ name: 'Lakeward', version: '0.1.0', today: TODAY, revision: state.revision, units: state.units, money: '$', place: isEmpty ? '' : 'Sedgewater Club' });
    if (key === 'GET now') return ok({ as_of: TODAY, revision: state.revision, waters: state.waters.map((water) => ({ water: water.name, id: water.id, items: itemsFor(water) })) });
    if (key === 'GET waters') return second ? (find(second) ? ok(sheet(find(second))) : fault(404, 'not-found', 'there is no such water')) : ok({ waters: state.waters.map(line) });
    if (key === 'POST waters') { if (!body.name) return fault(400, 'invalid', 'name is missing; give the water a name', 'name'); const water = { id: ++id, name: body.name, acres: parseFloat(body.area) || null, depth: null, readings: [], outline: null, surveys: [], zones: [] }; state.waters.push(water); return entry('water', water.id, `${water.name} added`, () => state.waters.splice(state.waters.indexOf(water), 1)); }
    if (key === 'PATCH waters') { const [field] = Object.keys(body); if (body[field] === 'bad') return fault(400, 'invalid', `${field} is 'bad', which is not a number with a unit`, field); return entry('water', Number(second), `${find(second).name}: ${field} ${body[field]}`, () => undefined); }
    if (key === 'POST readings') return reading(body);
    if (key === 'POST undo') return undo(body);
    if (key === 'POST overrides') { const one = { id: ++id, water: body.water, rule: body.rule, reason: body.reason, date: TODAY, until: body.until ?? null }; state.overrides.push(one); find(body.water).aside = body.reason; return entry('override', one.id, `${find(body.water).name}: ${body.rule} set aside`, () => undefined); }
    if (key === 'GET shelf') return ok({ money: '$', materials: state.materials, buy: isEmpty ? [] : [{ material: 'powder 12-48-8', packages: 6, cost: dollars(252), why: 'Long enough for the opening doses of Upper Sedge until May 6.' }, { material: 'ground limestone', packages: 18, cost: dollars(684), why: 'Heron Pool needs lime before it can be fed.' }] });
    if (key === 'GET log') return ok({ entries: state.log.map(({ undo: _, ...one }) => one).slice(0, Number(search.get('limit') ?? 50)) });
    if (key === 'GET quantities') return ok({ quantities: QUANTITIES });
    if (key === 'GET methods') return second ? method(decodeURIComponent(second), search) : ok({ methods: METHODS.map(({ method: name, title, purpose, basis }) => ({ name, title, purpose, basis })) });
    if (key === 'GET rules') return ok(rules());
    if (key === 'GET season') return ok(season(find(second)));
    if (key === 'GET settings') return ok({ units: state.units, money: '$', place: 'Sedgewater Club' });
    if (key === 'PUT settings') { if (body.units) state.units = body.units; return entry('setting', 0, 'settings changed', () => undefined); }
    if (verb === 'DELETE' || verb === 'POST' || verb === 'PATCH') return entry(head, ++id, `${head} written`, () => undefined);
    return fault(404, 'not-found', `there is nothing at ${path}`);
  };
}
