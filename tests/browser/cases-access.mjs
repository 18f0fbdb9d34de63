// SPDX-License-Identifier: Apache-2.0
// For everyone: contrast, names and roles, the keyboard alone, small screens, thumbs.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { axeSource, check, clean, DESK, go, open, PHONE, root, same, SCREENS, serve } from './harness.mjs';

export async function violations(page, where) {
  await page.evaluate(axeSource);
  const found = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ['violations'] }));
  return found.violations.filter((one) => ['serious', 'critical'].includes(one.impact))
    .map((one) => `${where}: ${one.id} (${one.impact}) at ${one.nodes.slice(0, 3).map((node) => node.target.join(' ')).join(' | ')}: ${one.nodes[0]?.failureSummary}`);
}

async function axeOn(viewport, scheme) {
  const server = await serve();
  const { page, context, watch } = await open(server.url, { viewport, scheme });
  const found = [];
  try {
    for (const hash of SCREENS) {
      await go(page, hash);
      found.push(...await violations(page, hash));
    }
    await go(page, '#/water/1');
    await page.getByRole('button', { name: 'As a table' }).click();
    found.push(...await violations(page, 'the chart as a table'));
    await go(page, '#/');
    await page.locator('.card .figure').first().click();
    await page.locator('dialog.sheet[open]').waitFor();
    found.push(...await violations(page, 'a figure opened'));
    await page.keyboard.press('Escape');
    await page.locator('nav button', { hasText: 'More' }).click();
    found.push(...await violations(page, 'More'));
    check(found.length === 0, found.join('\n'));
    clean(watch);
  } finally {
    await context.close();
    await server.stop();
  }
}

async function tabTo(page, matches, most = 80) {
  for (let i = 0; i < most; i++) {
    await page.keyboard.press('Tab');
    if (await page.evaluate(matches)) return;
  }
  throw new Error(`not reached with ${most} presses of Tab`);
}

async function keyboardOnly() {
  const server = await serve();
  const { page, context, watch } = await open(server.url, { viewport: DESK });
  try {
    await page.locator('.card').first().waitFor();
    await tabTo(page, () => document.activeElement?.textContent === 'Log' && document.activeElement.matches('nav a'));
    await page.keyboard.press('Enter');
    await page.locator('#number').waitFor();
    await tabTo(page, () => document.activeElement?.id === 'number');
    await page.keyboard.type('41');
    await page.keyboard.press('Enter');
    await page.locator('.saved', { hasText: 'Saved.' }).waitFor();
    await go(page, '#/');
    await tabTo(page, () => document.activeElement?.matches('.card .figure'));
    const mark = await page.evaluate(() => { document.activeElement.dataset.mark = 'here'; return document.activeElement.textContent; });
    await page.keyboard.press('Enter');
    await page.locator('dialog.sheet[open]').waitFor();
    for (let i = 0; i < 30; i++) {
      await page.keyboard.press('Tab');
      check(await page.evaluate(() => document.querySelector('dialog.sheet')?.contains(document.activeElement) ?? false), `focus left the sheet after ${i + 1} presses of Tab`);
    }
    await page.keyboard.press('Shift+Tab');
    check(await page.evaluate(() => document.querySelector('dialog.sheet')?.contains(document.activeElement) ?? false), 'focus left the sheet going back');
    await page.keyboard.press('Escape');
    await page.locator('dialog.sheet').waitFor({ state: 'detached' });
    await page.waitForFunction(() => document.activeElement?.dataset?.mark === 'here', undefined, { timeout: 2000 }).catch(() => { throw new Error(`focus did not return to the figure '${mark}'`); });
    clean(watch);
  } finally {
    await context.close();
    await server.stop();
  }
}

async function chartByKeyboard() {
  const server = await serve();
  const { page, context, watch } = await open(server.url, { viewport: DESK });
  try {
    await go(page, '#/water/1');
    await page.locator('.chart-keys').focus();
    const first = await page.locator('.chart-read').textContent();
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('ArrowLeft');
    check((await page.locator('.chart-read').textContent()) !== first, 'the arrow keys move through the readings');
    check((await page.locator('.chart-box').getAttribute('aria-label')).includes('disk'), 'the chart has a finding for a screen reader');
    clean(watch);
  } finally {
    await context.close();
    await server.stop();
  }
}

async function fitsSmallPhone() {
  const server = await serve();
  const { page, context, watch } = await open(server.url, { viewport: { width: 360, height: 740 } });
  try {
    for (const hash of SCREENS) {
      await go(page, hash);
      const wide = await page.evaluate(() => Math.max(document.documentElement.scrollWidth, document.body.scrollWidth));
      check(wide <= 360, `${hash} is ${wide} px wide at 360`);
    }
    clean(watch);
  } finally {
    await context.close();
    await server.stop();
  }
}

async function thumbSized() {
  const server = await serve();
  const { page, context, watch } = await open(server.url, { viewport: PHONE });
  try {
    for (const hash of SCREENS.filter((one) => one !== '#/day-sheet')) {
      await go(page, hash);
      const small = await page.evaluate(() => {
        const seen = (one) => one.getClientRects().length > 0 && getComputedStyle(one).opacity !== '0' && !one.closest('.skip');
        // The part that takes the press: figures and some links reach beyond their letters.
        const reach = (one) => {
          const after = getComputedStyle(one, '::after');
          const own = one.getBoundingClientRect().height;
          return after.position === 'absolute' && after.content !== 'none' ? Math.max(own, parseFloat(after.height) || 0) : own;
        };
        return [...document.querySelectorAll('button, a[href], input, select, textarea, summary')].filter((one) => seen(one) && reach(one) < 47.5)
          .map((one) => `${one.outerHTML.slice(0, 90)} is ${reach(one).toFixed(0)} px high`);
      });
      check(small.length === 0, `${hash}: ${small.join('\n  ')}`);
    }
    clean(watch);
  } finally {
    await context.close();
    await server.stop();
  }
}

function luminance(hex) {
  const part = (at) => { const v = parseInt(hex.slice(at, at + 2), 16) / 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
  return 0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5);
}

function contrast(a, b) {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high + 0.05) / (low + 0.05);
}

/** Text on its ground, by name of the colours in tokens.css: WCAG 2 contrast ratio. */
const PAIRS = [
  ['ink', 'paper'], ['ink', 'raised'], ['quiet', 'paper'], ['quiet', 'raised'], ['water', 'paper'], ['water', 'raised'], ['water', 'water-tint'], ['ink', 'water-tint'],
  ['quiet', 'water-tint'], ['on-water', 'water'], ['reed', 'reed-tint'], ['ink', 'reed-tint'], ['on-alarm', 'alarm'], ['paper', 'ink'],
];

async function contrastHolds() {
  const css = readFileSync(join(root, 'app/src/css/tokens.css'), 'utf8');
  const tokens = (block) => Object.fromEntries([...block.matchAll(/--([\w-]+): (#[0-9a-f]{6});/g)].map(([, name, value]) => [name, value]));
  const light = tokens(css.slice(0, css.indexOf('@media')));
  const dark = tokens(css.slice(css.indexOf('@media')));
  for (const [theme, colours, least] of [['light', light, 7], ['dark', dark, 4.5]]) {
    for (const [text, ground] of PAIRS) {
      check(colours[text] && colours[ground], `${theme}: ${text} or ${ground} is not in tokens.css`);
      const ratio = contrast(colours[text], colours[ground]);
      check(ratio >= least, `${theme}: ${text} on ${ground} is ${ratio.toFixed(2)}, under ${least}`);
    }
  }
  same(new Set(Object.keys(light)).size >= 18, true, 'colours read from tokens.css');
}

async function themeSwitch() {
  const server = await serve();
  const { page, context, watch } = await open(server.url, { scheme: 'light' });
  try {
    const ground = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    const light = await ground();
    await go(page, '#/settings');
    await page.getByRole('button', { name: 'Dark', exact: true }).click();
    const dark = await ground();
    check(dark !== light, 'the switch turns the page dark');
    await page.reload();
    same(await ground(), dark, 'dark after coming back');
    clean(watch);
  } finally {
    await context.close();
    await server.stop();
  }
}

export const accessCases = [
  ['contrast of every text colour: 7 in light, 4.5 in dark', contrastHolds],
  ['axe finds nothing serious, phone, light', () => axeOn(PHONE, 'light')],
  ['axe finds nothing serious, phone, dark', () => axeOn(PHONE, 'dark')],
  ['axe finds nothing serious, desk, light', () => axeOn(DESK, 'light')],
  ['axe finds nothing serious, desk, dark', () => axeOn(DESK, 'dark')],
  ['the keyboard alone logs a reading, opens a figure, and focus returns', keyboardOnly],
  ['the chart is read with the arrow keys', chartByKeyboard],
  ['no screen scrolls sideways at 360 px', fitsSmallPhone],
  ['every press target is 48 px high', thumbSized],
  ['light and dark by the switch, remembered', themeSwitch],
];
