// SPDX-License-Identifier: Apache-2.0
// Reading the advice, writing things down, taking them back.
import { check, clean, DESK, go, open, PHONE, same, serve } from './harness.mjs';

const WATER = 'Long Run';

async function verdictOf(page, water) {
  await go(page, '#/');
  return (await page.locator(`article[aria-label="${water}"] .card-body .verdict`).textContent()).trim();
}

async function logDisk(page, water, value) {
  await page.locator('nav a', { hasText: 'Log' }).click();
  await page.getByRole('button', { name: water, exact: true }).click();
  await page.locator('#number').fill(value);
  await page.getByRole('button', { name: 'Save', exact: true }).click();
}

async function verdictChanges(viewport) {
  const server = await serve();
  const { page, context, watch } = await open(server.url, { viewport });
  try {
    const before = await verdictOf(page, WATER);
    await logDisk(page, WATER, '40');
    await page.locator('.saved', { hasText: 'Saved.' }).waitFor();
    check(/40.in/.test(await page.locator('.saved').textContent()), 'the entry appears at once with its value');
    check(/40.in/.test(await page.locator('.records').first().textContent()), 'the entry stands first among the last entries');
    const after = await verdictOf(page, WATER);
    check(after !== before, `the verdict of ${WATER} was '${before}' and stayed so after the disk at 40 in`);
    await page.locator('nav a', { hasText: 'Log' }).click();
    await page.locator('.records button', { hasText: 'Undo' }).first().click();
    await page.locator('.record-gone').first().waitFor();
    same(await verdictOf(page, WATER), before, 'the verdict after undo');
    clean(watch);
  } finally {
    await context.close();
    await server.stop();
  }
}

async function withPage(test, options = {}) {
  const server = await serve(options);
  const { page, context, watch } = await open(server.url, options);
  try {
    await test(page, watch, server);
    clean(watch);
  } finally {
    await context.close();
    await server.stop();
  }
}

async function adviceIsRead() {
  await withPage(async (page) => {
    await page.locator('.card').first().waitFor();
    same(await page.locator('.card').count(), 4, 'waters on Today');
    for (const word of await page.locator('.card-body .verdict').allTextContents()) check(['Do', 'Hold', 'Ask'].includes(word.trim()), `'${word}' is no verdict`);
    check((await page.locator('.card svg.ruler').count()) === 4, 'a ruler beside every water');
    const glance = await page.locator('.glance-line').last().boundingBox();
    check(glance && glance.y + glance.height < PHONE.height - 62, 'every verdict is seen on the phone without scrolling');
    await page.locator('.why-link').first().click();
    await page.locator('.why .reason').first().waitFor();
    await page.locator('.why .source summary').first().click();
    check((await page.locator('.why .source[open] p').first().textContent()).trim().length > 10, 'the reason names its source');
    await page.goBack();
    await page.locator('.card').first().waitFor();
  });
}

async function figureOpens() {
  await withPage(async (page) => {
    const figure = page.locator('.card .figure').first();
    await figure.click();
    const sheet = page.locator('dialog.sheet[open]');
    await sheet.waitFor();
    check(await sheet.getByText('What would change this').count(), 'the sheet says what would change the figure');
    await page.goBack();
    await sheet.waitFor({ state: 'detached' });
    check(page.url().endsWith('#/') || !page.url().includes('#'), 'back closes the sheet and stays on the screen');
    await figure.click();
    await sheet.waitFor();
    const inner = sheet.locator('.figure').first();
    if (await inner.count()) {
      await inner.click();
      await sheet.getByRole('button', { name: 'Back' }).click();
      await sheet.getByRole('button', { name: 'Close' }).waitFor();
    }
    await sheet.getByRole('button', { name: 'Close' }).click();
    await sheet.waitFor({ state: 'detached' });
  });
}

async function onlyFiguresAreUnderlined() {
  await withPage(async (page) => {
    for (const hash of ['#/', '#/why/1', '#/water/1', '#/shelf', '#/rules']) {
      await go(page, hash);
      const others = await page.evaluate(() => [...document.querySelectorAll('body *')]
        .filter((one) => getComputedStyle(one).textDecorationLine.includes('underline') && !one.classList.contains('figure')).map((one) => one.outerHTML.slice(0, 80)));
      check(others.length === 0, `underlined without being a figure on ${hash}: ${others[0]}`);
    }
  });
}

async function wrongValueIsKept() {
  await withPage(async (page, watch) => {
    watch.expectRefusal = true;
    await logDisk(page, WATER, 'forty');
    const refused = page.locator('.refused');
    await refused.waitFor();
    check(/forty/.test(await refused.textContent()), "the server's own sentence names what was wrong");
    same(await page.locator('#number').inputValue(), 'forty', 'what was typed is kept');
    same(await page.locator('.saved').count(), 0, 'nothing claims to be saved');
    await page.locator('#number').fill('40');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.locator('.saved', { hasText: 'Saved.' }).waitFor();
    same(await refused.count(), 0, 'the refusal is gone once mended');
  });
}

async function unusualIsAskedOnce() {
  await withPage(async (page) => {
    await logDisk(page, WATER, '200');
    await page.locator('.saved-question').waitFor();
    await page.getByRole('button', { name: 'No, let me mend it' }).click();
    await page.locator('.saved', { hasText: 'Taken back' }).waitFor();
    same(await page.locator('#number').inputValue(), '200', 'the slip is back in the field to be mended');
    await page.locator('#number').fill('20');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.locator('.saved', { hasText: 'Saved.' }).waitFor();
    same(await page.locator('.saved-question').count(), 0, 'a usual value is not asked about');
  });
}

async function unitIsRemembered() {
  await withPage(async (page) => {
    await go(page, '#/log');
    await page.getByRole('button', { name: 'cm', exact: true }).click();
    await page.locator('#number').fill('50');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.locator('.saved', { hasText: 'Saved.' }).waitFor();
    await page.reload();
    same(await page.getByRole('button', { name: 'cm', exact: true }).getAttribute('aria-pressed'), 'true', 'the unit chip after coming back');
  });
}

async function ownerSetsRuleAside() {
  await withPage(async (page) => {
    await go(page, '#/why/1');
    const reason = page.locator('.reason').first();
    await reason.getByRole('button', { name: 'Set this rule aside' }).click();
    await reason.locator('textarea').fill('The keeper saw the bloom this morning.');
    await reason.getByRole('button', { name: 'Set it aside' }).click();
    await go(page, '#/water/1');
    await page.getByText('The keeper saw the bloom this morning.').first().waitFor();
  }, { viewport: DESK });
}

async function methodCalculates() {
  await withPage(async (page) => {
    await go(page, '#/methods/light-attenuation');
    await page.locator('.method input').first().fill('24 in');
    await page.locator('.results dd', { hasText: /\d/ }).first().waitFor();
  }, { viewport: DESK });
}

async function emptyTeaches() {
  await withPage(async (page) => {
    await page.getByText('No water yet').waitFor();
    await page.getByRole('link', { name: 'Add a water' }).click();
    await page.getByLabel('Name').fill('First Pond');
    await page.getByLabel('Area as you know it').fill('3 acre');
    await page.getByRole('button', { name: 'Add the water' }).click();
    await page.getByText('Lower the disk and log the depth').waitFor();
    await go(page, '#/');
    same((await page.locator('.card-body .verdict').first().textContent()).trim(), 'Ask', 'a water without readings is asked about');
  }, { empty: true });
}

async function swipeCloses() {
  await withPage(async (page) => {
    await page.locator('.card .figure').first().click();
    const sheet = page.locator('dialog.sheet[open]');
    await sheet.waitFor();
    const head = await sheet.locator('.sheet-head').boundingBox();
    const touch = await page.context().newCDPSession(page);
    const send = (type, y) => touch.send('Input.dispatchTouchEvent', { type, touchPoints: type === 'touchEnd' ? [] : [{ x: head.x + 40, y }] });
    await send('touchStart', head.y + 20);
    for (let moved = 20; moved <= 160; moved += 20) await send('touchMove', head.y + 20 + moved);
    await send('touchEnd', 0);
    await sheet.waitFor({ state: 'detached' });
  });
}

async function metricIsSpoken() {
  await withPage(async (page) => {
    await go(page, '#/settings');
    await page.getByRole('button', { name: 'Centimetres, hectares, kilograms' }).click();
    await page.waitForFunction(async () => (await (await fetch('api/version')).json()).units === 'metric');
    await go(page, '#/');
    await page.waitForFunction(() => [...document.querySelectorAll('.card svg.ruler')].every((one) => /\d.cm/.test(one.getAttribute('aria-label'))));
    same(await page.locator('.card svg.ruler .unit').first().textContent(), 'cm', 'the unit written on the ruler');
    await go(page, '#/log');
    same(await page.getByRole('button', { name: 'cm', exact: true }).getAttribute('aria-pressed'), 'true', 'the unit offered first in the log');
  });
}

export const entryCases = [
  ['the advice is read on the phone without scrolling, and gives its reasons', adviceIsRead],
  ['a disk reading changes the verdict and undo changes it back, 390 x 844', () => verdictChanges(PHONE)],
  ['a disk reading changes the verdict and undo changes it back, 1280 x 800', () => verdictChanges(DESK)],
  ['a figure opens its sheet; back, inner sheets and the button close it', figureOpens],
  ['a swipe down closes the sheet', swipeCloses],
  ['nothing but figures is underlined', onlyFiguresAreUnderlined],
  ["a wrong value shows the server's sentence and keeps what was typed", wrongValueIsKept],
  ['an unusual value is asked about once and can be mended', unusualIsAskedOnce],
  ['the unit of a field is remembered', unitIsRemembered],
  ['the owner sets a rule aside with a reason that is kept', ownerSetsRuleAside],
  ['a method calculates on the person\'s own numbers', methodCalculates],
  ['in metric units rulers and forms speak centimetres', metricIsSpoken],
  ['an empty store teaches the first steps', emptyTeaches],
];
