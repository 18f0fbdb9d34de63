// SPDX-License-Identifier: Apache-2.0
// The lake map read: depth under the pointer, the level slider, the cross moved by keys, zoom, paper.
import { violations } from './cases-access.mjs';
import { check, commandLine, DESK, PHONE, same } from './harness.mjs';
import { ask, openMap, pixelOf, sounded, spotsIn, tapAt, waterWith, withMap } from './map-helpers.mjs';

const MILLIMETRES = 0.0021;
const THINNED = 0.08;

/** Bilinear between the nodes, written here a second time. */
function depthIn(map, [x, y]) {
  const { nx, step, x0, y0 } = map.frame;
  const [i, j] = [Math.floor((x - x0) / step), Math.floor((y - y0) / step)];
  const [u, v] = [(x - x0) / step - i, (y - y0) / step - j];
  const at = (a, b) => map.depth[(j + b) * nx + i + a] / 1000;
  return Math.max(0, (1 - v) * ((1 - u) * at(0, 0) + u * at(1, 0)) + v * ((1 - u) * at(0, 1) + u * at(1, 1)));
}

async function pointerDepth() {
  await withMap(async (page, server) => {
    const basin = await sounded(server);
    const map = await ask(server, `/waters/${basin.id}/basin/map`);
    await openMap(page, basin.id);
    for (const spot of spotsIn(map, 6)) {
      const [x, y] = (await pixelOf(page, spot)).map(Math.round);
      await page.mouse.move(x, y);
      await page.locator('.map-depth data').waitFor();
      const read = Number(await page.locator('.map-depth data').getAttribute('value'));
      const place = await page.locator('.map-place').getAttribute('value');
      check(/give or take [\d.]+\s(ft|m)/.test(await page.locator('.map-depth').textContent()), 'the depth says how sure it is');
      const told = commandLine(server, 'basin', basin.water, '--at', place);
      if (told) {
        const near = Math.abs(map.frame.step - basin.step.value) < 1e-6 ? MILLIMETRES : THINNED;
        check(Math.abs(read - told.at.depth.value) <= near, `at ${place} the page reads ${read} m, the command line ${told.at.depth.value} m`);
      } else {
        const [left, top] = await page.locator('.map-surface').evaluate((one) => { const box = one.getBoundingClientRect(); return [box.left, box.top]; });
        const [a, , , d, e, f] = (await page.locator('.map-surface').getAttribute('data-matrix')).split(' ').map(Number);
        const want = depthIn(map, [(x - left - e) / a, (y - top - f) / d]);
        check(Math.abs(read - want) <= MILLIMETRES, `at ${place} the page reads ${read} m, the nodes give ${want} m`);
      }
    }
    const box = await page.locator('.map-surface').boundingBox();
    await page.mouse.move(box.x + 3, box.y + box.height / 3);
    await page.getByText('Not on the water.').waitFor();
  }, { viewport: DESK });
}

async function sliderMoves() {
  await withMap(async (page, server) => {
    const basin = await sounded(server);
    await openMap(page, basin.id);
    const slider = page.locator('#level');
    const rows = basin.curve.length;
    same(Number(await slider.getAttribute('max')), (rows - 1) * 4, 'stops of the slider');
    for (const row of [0, 1, Math.floor(rows / 2), rows - 2, rows - 1]) {
      await slider.fill(String(row * 4));
      const volume = Number(await page.locator('#level-volume').getAttribute('value'));
      same(volume, basin.curve[row].volume.value, `volume at row ${row} of the table`);
      const number = /[\d.,]+/.exec(basin.curve[row].volume.shown)[0];
      check((await page.locator('#level-volume').textContent()).includes(number), `the volume is written as the table has it: ${basin.curve[row].volume.shown}`);
    }
    await slider.fill('2');
    const between = Number(await page.locator('#level-volume').getAttribute('value'));
    check(between < basin.curve[0].volume.value && between > basin.curve[1].volume.value, 'between two rows it lies between them');
    const before = await page.locator('.map-canvas').evaluate((one) => one.toDataURL());
    await slider.fill(String(Math.floor(rows / 2) * 4));
    await page.waitForTimeout(300);
    check(before !== await page.locator('.map-canvas').evaluate((one) => one.toDataURL()), 'the waterline moves on the map');
    await page.getByText('dry at this level').waitFor();
    await page.getByRole('button', { name: 'Table of levels' }).click();
    same(await page.locator('.curve-table tbody tr').count(), rows, 'rows of the table');
  });
}

async function keysReadDepth() {
  await withMap(async (page, server) => {
    const { id } = await sounded(server);
    await openMap(page, id);
    const surface = page.locator('.map-surface');
    await page.locator('.map-head .back').focus();
    for (let k = 0; k < 10 && !(await surface.evaluate((one) => one === document.activeElement)); k++) await page.keyboard.press('Tab');
    check(await surface.evaluate((one) => one === document.activeElement), 'the map is reached with Tab');
    const said = () => page.locator('#map-spoken').textContent();
    await page.waitForFunction(() => /\d\s(ft|m), give or take/.test(document.getElementById('map-spoken').textContent));
    const first = await said();
    for (let k = 0; k < 4; k++) await page.keyboard.press('Shift+ArrowRight');
    await page.waitForFunction((old) => document.getElementById('map-spoken').textContent !== old, first);
    same(await page.locator('#map-spoken').getAttribute('aria-live'), 'polite', 'the depth is announced');
    const scale = async () => Number(await surface.getAttribute('data-scale'));
    const whole = await scale();
    await page.keyboard.press('+');
    check(await scale() > whole * 1.3, 'plus comes closer');
    await page.keyboard.press('-');
    await page.keyboard.press('-');
    same(await scale(), whole, 'minus never goes further out than the whole lake');
    await page.keyboard.press('+');
    await page.keyboard.press('0');
    same(await scale(), whole, '0 shows the whole lake');
  }, { viewport: DESK });
}

async function zoomByHand() {
  await withMap(async (page, server) => {
    const { id } = await sounded(server);
    await openMap(page, id);
    const surface = page.locator('.map-surface');
    const scale = async () => Number(await surface.getAttribute('data-scale'));
    const whole = await scale();
    const box = await surface.boundingBox();
    const touch = await page.context().newCDPSession(page);
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    const points = (gap) => [{ x: x - gap, y, id: 1 }, { x: x + gap, y, id: 2 }];
    await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: points(30) });
    for (let gap = 36; gap <= 90; gap += 6) await touch.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: points(gap) });
    await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
    const pinched = await scale();
    check(pinched > whole * 2, `two fingers spread make it larger: ${whole} to ${pinched}`);
    await page.getByRole('button', { name: 'Whole lake' }).click();
    same(await scale(), whole, 'the button shows the whole lake again');
    await page.mouse.move(x, y);
    await page.mouse.wheel(0, -300);
    await page.waitForFunction((old) => Number(document.querySelector('.map-surface').dataset.scale) > old * 1.3, whole);
    const matrix = await surface.getAttribute('data-matrix');
    await page.mouse.down();
    await page.mouse.move(x - 60, y - 10, { steps: 4 });
    await page.mouse.up();
    check(matrix !== await surface.getAttribute('data-matrix'), 'a drag moves the map');
  });
}

/** The figures of the places are of full pool, whatever the slider says, and written as a person would. */
async function placesSayTheirPool() {
  await withMap(async (page, server) => {
    const { id } = await waterWith(server, (basin) => basin.zones.some((one) => one.area), 'a place that has an area');
    await page.route('**/basin', async (route) => {
      const answer = await route.fetch();
      const basin = await answer.json();
      for (const zone of basin.zones ?? []) if (zone.area) zone.area.shown = '1,012.34567 acre';
      for (const zone of basin.zones ?? []) if (zone.volume) zone.volume.shown = '0.000018 acre-ft';
      await route.fulfill({ response: answer, json: basin });
    });
    await openMap(page, id);
    const places = page.getByRole('region', { name: 'Places' });
    await places.getByText('at full pool').waitFor();
    const text = (await places.textContent()).replace(/\u00a0/g, ' ');
    check(/1,012\.35 acres/.test(text), `an area is rounded: ${text}`);
    check(/under 0\.01 acre-ft/.test(text) && !/0\.0000/.test(text), `a volume of nothing is no row of noughts: ${text}`);
  }, { viewport: DESK });
}

async function axeOnMap(viewport, scheme) {
  await withMap(async (page, server) => {
    const { id, zones } = await sounded(server);
    const found = [];
    await openMap(page, id);
    found.push(...await violations(page, 'the map'));
    await page.getByRole('button', { name: 'Soundings', exact: true }).click();
    await page.locator('.legend-soundings').waitFor();
    await page.locator('#level').fill('6');
    await page.getByRole('button', { name: 'Table of levels' }).click();
    await page.getByRole('button', { name: 'Import soundings' }).last().click();
    found.push(...await violations(page, 'soundings, table and import'));
    await page.getByRole('button', { name: 'Draw a place' }).click();
    const map = await ask(server, `/waters/${id}/basin/map`);
    for (const spot of spotsIn(map, 4).slice(0, 3)) await tapAt(page, spot);
    await page.getByRole('button', { name: 'Finish' }).click();
    found.push(...await violations(page, 'a place while it is drawn'));
    check(found.length === 0, found.join('\n'));
    check(Array.isArray(zones), 'zones are told');
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    check(wide <= 0, `the map scrolls sideways by ${wide} px`);
  }, { viewport, scheme });
}

async function onPaper() {
  await withMap(async (page, server) => {
    const { id, curve } = await sounded(server);
    await openMap(page, id);
    const pdf = await page.pdf({ format: 'Letter' });
    const pages = (pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g) ?? []).length;
    same(pages, 1, 'sheets of paper');
    await page.emulateMedia({ media: 'print' });
    const seen = await page.evaluate(() => {
      const shown = (selector) => [...document.querySelectorAll(selector)].filter((one) => one.getClientRects().length > 0);
      return { stage: shown('.map-stage').length, paper: shown('.paper-map svg .map-contour').length, text: shown('.paper-map')[0]?.textContent ?? '' };
    });
    same(seen.stage, 0, 'the screen map is not on paper');
    check(seen.paper >= 3 && curve.length > 2, `contours on paper: ${seen.paper}`);
    check(/Not for navigation/.test(seen.text), 'the caution is on paper');
  }, { viewport: PHONE, scheme: 'dark' });
}

export const mapCases = [
  ["the depth under the pointer is the server's, and off the water it says so", pointerDepth],
  ['the level slider gives the volume of the table and moves the waterline', sliderMoves],
  ['the cross is moved by keys and its depth announced', keysReadDepth],
  ['the map is pinched, wheeled and dragged', zoomByHand],
  ['the places say that their figures are of full pool, with two decimals at most', placesSayTheirPool],
  ['axe finds nothing serious on the map, phone, light', () => axeOnMap(PHONE, 'light')],
  ['axe finds nothing serious on the map, desk, dark', () => axeOnMap(DESK, 'dark')],
  ['the map prints on one sheet with its caution', onPaper],
];
