// SPDX-License-Identifier: Apache-2.0
// Written from the lake map: places drawn, soundings put back, files looked through and imported,
// depths by rope, the first outline; and each of them undone.
import { check, DESK, go, PHONE, same } from './harness.mjs';
import { ask, openMap, sounded, spotsIn, tapAt, waterWith, withMap } from './map-helpers.mjs';

const VOLUME = /[\d.]+\s(acre-ft|m³)/;

async function undoAndWait(page, what) {
  await page.locator('.map-saved').getByRole('button', { name: 'Undo' }).click();
  await page.locator('.saved', { hasText: 'Taken back' }).waitFor({ timeout: 60000 });
  check(true, what);
}

/** Three corners of a triangle in the water. */
async function corners(server, id) {
  const map = await ask(server, `/waters/${id}/basin/map`);
  const spots = spotsIn(map, 12);
  return [spots[2], spots[6], spots[9]];
}

async function drawZone(viewport) {
  await withMap(async (page, server) => {
    const { id, zones } = await sounded(server);
    await openMap(page, id);
    await page.getByRole('button', { name: 'Draw a place' }).click();
    for (const spot of await corners(server, id)) await tapAt(page, spot);
    same(await page.locator('.draft-point').count(), 3, 'points drawn');
    await page.getByRole('button', { name: 'Finish' }).click();
    await page.locator('.draw-form').getByLabel('Name').fill('Test bay');
    await page.locator('.draw-form').getByRole('button', { name: 'Save' }).click();
    const row = page.locator('.zone-row', { hasText: 'Test bay' });
    await row.waitFor({ timeout: 60000 });
    await page.waitForFunction(() => [...document.querySelectorAll('.zone-row')].some((one) => /Test bay/.test(one.textContent) && /\d\s(acre-ft|m³)/.test(one.textContent)), undefined, { timeout: 60000 });
    check(VOLUME.test(await row.textContent()), 'the volume of the place appears');
    const known = (await ask(server, `/waters/${id}/basin`)).zones.find((one) => one.name === 'Test bay');
    check(known?.volume?.value > 0 && known.area.value > 0, 'the server has its area and volume');
    await undoAndWait(page);
    await row.waitFor({ state: 'detached' });
    same((await ask(server, `/waters/${id}/basin`)).zones.length, zones.length, 'places after undo');
  }, { viewport });
}

async function changeZone() {
  await withMap(async (page, server) => {
    const { id } = await sounded(server);
    await openMap(page, id);
    await page.getByRole('button', { name: 'Draw a place' }).click();
    const spots = await corners(server, id);
    for (const spot of spots) await tapAt(page, spot);
    await page.getByRole('button', { name: 'Finish' }).click();
    await page.locator('.draw-form').getByLabel('Name').fill('Test shoal');
    await page.locator('.draw-form').getByRole('combobox').selectOption('hazard');
    await page.locator('.draw-form').getByRole('button', { name: 'Save' }).click();
    await page.getByRole('button', { name: 'Change Test shoal' }).click({ timeout: 60000 });
    const zone = async () => (await ask(server, `/waters/${id}`)).zones.find((one) => one.name === 'Test shoal');
    same((await zone()).kind, 'hazard', 'the kind chosen');
    const before = JSON.stringify((await zone()).outline.coordinates[0][1]);
    const point = page.locator('.draft-point').nth(1);
    const box = await point.boundingBox();
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(box.x - 30, box.y + 20, { steps: 5 });
    await page.mouse.up();
    await page.locator('.draft-middle').first().waitFor();
    const half = await page.locator('.draft-middle').first().boundingBox();
    await page.mouse.click(half.x + half.width / 2, half.y + half.height / 2);
    await page.locator('.draft-point').nth(3).waitFor({ timeout: 10000 });
    same(await page.locator('.draft-point').count(), 4, 'a tap half way makes a point');
    await page.getByRole('button', { name: 'Delete this point' }).click();
    same(await page.locator('.draft-point').count(), 3, 'a point is deleted');
    await page.locator('.draw-form').getByRole('button', { name: 'Save' }).click();
    await page.locator('.saved', { hasText: 'Saved.' }).waitFor({ timeout: 60000 });
    check(JSON.stringify((await zone()).outline.coordinates[0][1]) !== before, 'the point drawn along is saved');
    await page.getByRole('button', { name: 'Change Test shoal' }).click();
    await page.getByRole('button', { name: 'Take it away' }).click();
    await page.locator('.zone-row', { hasText: 'Test shoal' }).waitFor({ state: 'detached', timeout: 60000 });
    await undoAndWait(page);
    await page.locator('.zone-row', { hasText: 'Test shoal' }).waitFor();
  }, { viewport: DESK });
}

async function drawByKeys() {
  await withMap(async (page, server) => {
    const { id } = await sounded(server);
    await openMap(page, id);
    await page.getByRole('button', { name: 'Draw a place' }).focus();
    await page.keyboard.press('Enter');
    const surface = page.locator('.map-surface');
    await surface.focus();
    const put = async (...keys) => { for (const key of keys) await page.keyboard.press(key); await page.keyboard.press('Enter'); };
    await put('ArrowLeft', 'Shift+ArrowLeft');
    await put('Shift+ArrowRight', 'Shift+ArrowRight');
    await put('Shift+ArrowUp');
    await put('ArrowUp');
    same(await page.locator('.draft-point').count(), 4, 'points put by Enter');
    await page.keyboard.press('Backspace');
    same(await page.locator('.draft-point').count(), 3, 'Backspace takes back the last');
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'More points' }).waitFor();
    const first = page.locator('.draft-point').first();
    await first.focus();
    const at = await first.getAttribute('cx');
    await page.keyboard.press('ArrowRight');
    check(at !== await first.getAttribute('cx'), 'a point is moved by the arrow keys');
    await page.locator('.draw-form').getByLabel('Name').fill('Bay by keys');
    await page.keyboard.press('Enter');
    await page.locator('.zone-row', { hasText: 'Bay by keys' }).waitFor({ timeout: 60000 });
  }, { viewport: DESK });
}

async function putBack() {
  await withMap(async (page, server) => {
    const { id } = await sounded(server);
    await openMap(page, id);
    await page.getByRole('button', { name: 'Soundings', exact: true }).click();
    await page.locator('.aside-cross').waitFor({ state: 'attached' });
    const { soundings } = await ask(server, `/waters/${id}/soundings`);
    const { shore } = await ask(server, `/waters/${id}/basin/map`);
    const xs = shore.flat().map(([x]) => x);
    const at = soundings.flaw.findIndex((flaw, k) => flaw !== 'good' && flaw !== 'duplicate' && soundings.x[k] > Math.min(...xs) && soundings.x[k] < Math.max(...xs));
    check(at >= 0, 'a sounding is set aside');
    await tapAt(page, [soundings.x[at], soundings.y[at]]);
    const card = page.locator('.sounding-card');
    await card.waitFor();
    check((await card.textContent()).includes('Set aside:'), 'the card gives the reason');
    const number = Number(/Sounding (\d+)/.exec(await card.textContent())[1]);
    const flawOf = async () => {
      const now = (await ask(server, `/waters/${id}/soundings`)).soundings;
      const index = now.number.findIndex((one, k) => one === number && now.survey[k] === soundings.survey[at]);
      return index < 0 ? 'good' : now.flaw[index];
    };
    check(await flawOf() !== 'good', 'it is set aside at the server');
    await card.getByRole('button', { name: 'Put back' }).click();
    await page.locator('.saved', { hasText: 'Saved.' }).waitFor({ timeout: 60000 });
    same(await flawOf(), 'good', 'the sounding after it is put back');
    await undoAndWait(page);
    check(await flawOf() !== 'good', 'undo sets it aside again');
  }, { viewport: DESK });
}

/** A few lines across the water, in feet, as a recorder would write them. */
async function linesOf(server, id, plane) {
  const map = await ask(server, `/waters/${id}/basin/map`);
  const rows = spotsIn(map, 240).map((spot) => plane(map, spot)).map(([lon, lat], k) => `${lon.toFixed(7)},${lat.toFixed(7)},${(4 + (k % 7) * 0.1).toFixed(1)}`);
  return ['longitude,latitude,depth (ft)', ...rows].join('\n');
}

function placeOf({ frame, corners: [sw, se, ne, nw] }, [x, y]) {
  const u = (x - frame.x0) / ((frame.nx - 1) * frame.step);
  const v = (y - frame.y0) / ((frame.ny - 1) * frame.step);
  return [0, 1].map((k) => (1 - v) * ((1 - u) * sw[k] + u * se[k]) + v * ((1 - u) * nw[k] + u * ne[k]));
}

async function importAndUndo() {
  await withMap(async (page, server) => {
    const basin = await sounded(server);
    const count = async () => (await ask(server, `/waters/${basin.id}/basin`)).surveys.length;
    const text = await linesOf(server, basin.id, placeOf);
    await openMap(page, basin.id);
    await page.getByRole('button', { name: 'Import soundings' }).last().click();
    await page.locator('.import-form input[type="file"]').setInputFiles({ name: 'lines.csv', mimeType: 'text/csv', buffer: Buffer.from(text) });
    await page.locator('.import-report').waitFor({ timeout: 60000 });
    check(/240 soundings read/.test(await page.locator('.import-report').textContent()), 'the report counts what the file has');
    same(await count(), basin.surveys.length, 'surveys after the dry run');
    await page.getByRole('button', { name: 'Save these soundings' }).click();
    await page.locator('.import-form .saved', { hasText: 'Saved.' }).waitFor({ timeout: 60000 });
    same(await count(), basin.surveys.length + 1, 'surveys after saving');
    same(await page.locator('.survey').count(), basin.surveys.length + 1, 'the survey is listed');
    await page.locator('.import-form').getByRole('button', { name: 'Undo' }).click();
    await page.locator('.import-form .saved', { hasText: 'Taken back' }).waitFor({ timeout: 60000 });
    same(await count(), basin.surveys.length, 'surveys after undo');
  });
}

async function refusedImport() {
  await withMap(async (page, server, watch) => {
    const { id } = await sounded(server);
    await openMap(page, id);
    watch.expectRefusal = true;
    await page.getByRole('button', { name: 'Import soundings' }).last().click();
    await page.locator('.import-form input[type="file"]').setInputFiles({ name: 'notes.csv', mimeType: 'text/csv', buffer: Buffer.from('this is\nno survey\n') });
    await page.locator('.import-form .refused').waitFor();
    same(await page.getByRole('button', { name: 'Save these soundings' }).count(), 0, 'nothing can be saved from it');
  });
}

async function surveySwitch() {
  await withMap(async (page, server) => {
    const basin = await sounded(server);
    const survey = basin.surveys.find((one) => one.used);
    await openMap(page, basin.id);
    const use = page.getByRole('switch', { name: `Use ${survey.name}`, exact: true });
    same(await use.getAttribute('aria-checked'), 'true', 'the survey is used');
    await use.click();
    await page.locator('.saved', { hasText: 'Saved.' }).waitFor({ timeout: 60000 });
    same((await ask(server, `/waters/${basin.id}/basin`)).surveys.find((one) => one.id === survey.id).used, false, 'the server no longer uses it');
    await undoAndWait(page);
    same((await ask(server, `/waters/${basin.id}/basin`)).surveys.find((one) => one.id === survey.id).used, true, 'undo uses it again');
  });
}

async function ropeDepth() {
  await withMap(async (page, server) => {
    const told = await waterWith(server, (basin) => basin.way !== 'sounded', 'a depth only told or read by rope');
    const map = await ask(server, `/waters/${told.id}/basin/map`);
    await openMap(page, told.id);
    await page.getByRole('button', { name: 'Enter depths by rope' }).first().click();
    await tapAt(page, spotsIn(map, 3)[1]);
    await page.locator('#number').fill('4');
    await page.getByRole('button', { name: 'Save this depth' }).click();
    await page.locator('.saved', { hasText: 'Saved.' }).waitFor({ timeout: 60000 });
    const after = await ask(server, `/waters/${told.id}/basin`);
    same(after.way, 'few-depths', 'what the map rests on after one depth by rope');
    same(await page.locator('#number').inputValue(), '', 'the field is ready for the next depth');
    const rests = await page.getByLabel('What the map rests on').textContent();
    check(!/lines left out/.test(rests) && !/\d\.\d{3}/.test(rests), `of depths by rope it says: ${rests}`);
    if (after.cross_validation) check(/depths left out one by one/.test(rests), `how it was checked: ${rests}`);
    await undoAndWait(page);
    same((await ask(server, `/waters/${told.id}/basin`)).way, told.way, 'what it rests on after undo');
  }, { viewport: PHONE });
}

async function firstOutline() {
  await withMap(async (page, server, watch) => {
    watch.expectRefusal = true; // a basin without any depth is refused, and the page says why
    const made = await (await fetch(`${server.url}api/waters`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ name: 'First Pond', area: '5 acre' }) })).json();
    await go(page, `#/map/${made.id}`);
    await page.getByText('The map begins with the outline').waitFor();
    const shape = [[-86.401, 33.0995], [-86.399, 33.0995], [-86.399, 33.1005], [-86.401, 33.1005], [-86.401, 33.0995]];
    const outline = JSON.stringify({ type: 'Polygon', coordinates: [shape] });
    await page.getByLabel('Outline as GeoJSON').setInputFiles({ name: 'shore.geojson', mimeType: 'application/geo+json', buffer: Buffer.from(outline) });
    await page.getByText('How deep is it?').waitFor({ timeout: 60000 });
    check(await page.locator('.map-surface').isVisible(), 'the bare outline is drawn already');
    await page.getByLabel('Greatest depth, as you know it').fill('9 ft');
    await page.locator('.teach').getByRole('button', { name: 'Save' }).click();
    await page.locator('.legend').first().waitFor({ timeout: 60000 });
    await page.getByText('The volume may lie anywhere').waitFor();
  }, { empty: true });
}

export const mapWriteCases = [
  ['a place is drawn, its volume appears, undo takes it away, 390 x 844', () => drawZone(PHONE)],
  ['a place is drawn, its volume appears, undo takes it away, 1280 x 800', () => drawZone(DESK)],
  ['a place is changed: points drawn along, made, deleted; taken away and back', changeZone],
  ['a place is drawn by the keyboard alone', drawByKeys],
  ['a sounding set aside is put back, and undo sets it aside again', putBack],
  ['a file is looked through first, then imported, then undone', importAndUndo],
  ['a file without soundings is refused and changes nothing', refusedImport],
  ['a survey is switched off and on', surveySwitch],
  ['a depth by rope turns a told shape into a measured one', ropeDepth],
  ['the first outline and the first depth make the first map', firstOutline],
];
