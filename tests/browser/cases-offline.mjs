// SPDX-License-Identifier: Apache-2.0
// Without a signal: the page opens, shows what was known, keeps entries and sends them later.
import { check, clean, go, open, same, serve } from './harness.mjs';

async function settled(page) {
  await page.evaluate(async () => { await navigator.serviceWorker.ready; });
  await page.reload();
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  for (const hash of ['#/', '#/log', '#/water/1', '#/shelf', '#/']) await go(page, hash);
  await page.locator('.card').first().waitFor();
}

async function diskReadings(url, id) {
  const sheet = await (await fetch(`${url}api/waters/${id}`)).json();
  return sheet.readings.filter((one) => one.quantity === 'secchi').length;
}

async function offlineRound() {
  const server = await serve();
  const { page, context, watch } = await open(server.url, { worker: true });
  let up = true;
  try {
    await settled(page);
    const before = await diskReadings(server.url, 1);
    const name = await page.evaluate(async () => (await (await fetch('api/waters/1')).json()).name);
    watch.expectOffline = true;
    await server.stop();
    up = false;
    await page.reload();
    await page.locator('.card').first().waitFor();
    await page.locator('.signal', { hasText: 'as of' }).waitFor();
    await page.locator('nav a', { hasText: 'Log' }).click();
    await page.getByRole('button', { name, exact: true }).click();
    await page.locator('#number').fill('33');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.locator('.saved', { hasText: 'Kept on this device' }).waitFor();
    await page.locator('.signal', { hasText: '1 entry waits' }).waitFor();
    await page.reload();
    await page.locator('.signal', { hasText: '1 entry waits' }).waitFor();
    await server.restart();
    up = true;
    await page.evaluate(() => dispatchEvent(new Event('online')));
    await page.waitForFunction(() => !/waits/.test(document.querySelector('.signal')?.textContent ?? ''), undefined, { timeout: 20000 });
    same(await diskReadings(server.url, 1), before + 1, 'disk readings at the server after the entry was sent');
    check(!/No connection/.test(await page.locator('.signal').textContent()), 'the page no longer says that it is cut off');
    await go(page, '#/water/1');
    check(/33.in/.test(await page.locator('main').textContent()), 'the entry is seen on the page of the water');
    watch.expectOffline = false;
    clean(watch);
  } finally {
    await context.close();
    if (up) await server.stop();
  }
}

async function refusedLater() {
  const server = await serve();
  const { page, context, watch } = await open(server.url, { worker: true });
  let up = true;
  try {
    await settled(page);
    watch.expectOffline = true;
    watch.expectRefusal = true;
    await server.stop();
    up = false;
    await go(page, '#/log');
    await page.locator('#number').fill('forty');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.locator('.saved', { hasText: 'Kept on this device' }).waitFor();
    await server.restart();
    up = true;
    await page.evaluate(() => dispatchEvent(new Event('online')));
    await page.locator('.signal', { hasText: 'needs your hand' }).waitFor({ timeout: 20000 });
    await page.locator('.signal-button').click();
    check(/forty/.test(await page.locator('dialog.sheet').textContent()), 'what was refused is kept, with the sentence');
    await page.locator('dialog.sheet').getByRole('button', { name: /^Drop/ }).click();
    await page.getByText('Everything is sent.').waitFor();
    watch.expectOffline = watch.expectRefusal = false;
    clean(watch);
  } finally {
    await context.close();
    if (up) await server.stop();
  }
}

async function anotherHand() {
  const server = await serve();
  const { page, context, watch } = await open(server.url);
  try {
    await page.locator('.card').first().waitFor();
    const write = { water: 1, quantity: 'secchi', value: '77 in' };
    const answer = await fetch(`${server.url}api/readings`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(write) });
    same(answer.status, 200, 'a reading written by another program');
    await page.waitForFunction(() => [...document.querySelectorAll('.card svg.ruler')].some((one) => /77.in/.test(one.getAttribute('aria-label'))), undefined, { timeout: 20000 });
    clean(watch);
  } finally {
    await context.close();
    await server.stop();
  }
}

export const offlineCases = [
  ['server away: the page opens, an entry waits and is sent later', offlineRound],
  ['an entry that the server refuses later is kept with its sentence', refusedLater],
  ['what another hand writes is shown within 20 s', anotherHand],
];
