// SPDX-License-Identifier: Apache-2.0
// What the browser tests share: the server on a demonstration store, the browser, and the watch kept
// on every page for errors, broken content policy and requests that leave the machine.
//   LAKEWARD_BIN           the program (default build/lakeward)
//   LAKEWARD_CHROMIUM      the browser (default /usr/bin/chromium)
//   LAKEWARD_BROWSER_MOCK  set: invented answers instead of the program; for work on the page only
import { spawn, spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdtempSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { startMock } from './mock-server.mjs';

export const root = join(dirname(fileURLToPath(import.meta.url)), '../..');
const require = createRequire(join(root, 'app/package.json'));
const { chromium } = require('playwright-core');
export const axeSource = require('axe-core').source;

export const TODAY = '2026-04-08';
export const PHONE = { width: 390, height: 844 };
export const DESK = { width: 1280, height: 800 };
export const mock = Boolean(process.env.LAKEWARD_BROWSER_MOCK);

const program = process.env.LAKEWARD_BIN ?? join(root, 'build/lakeward');
const scratch = mkdtempSync(join(tmpdir(), 'lakeward-browser-'));
const demo = join(scratch, 'demo.lakeward');
const FLAGS = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];

let browser = null;
let stores = 0;

export async function begin() {
  if (!mock) {
    if (!existsSync(program)) throw new Error(`there is no program at ${program}; build it first, or set LAKEWARD_BIN`);
    const made = spawnSync(program, ['demo', demo], { encoding: 'utf8', env: { ...process.env, LAKEWARD_TODAY: TODAY } });
    if (made.status !== 0) throw new Error(`lakeward demo failed: ${made.stderr || made.stdout}`);
    // the depth maps are reckoned once and kept in the store: copies of it need not do it again
    spawnSync(program, ['--store', demo, 'now'], { env: { ...process.env, LAKEWARD_TODAY: TODAY } });
  }
  browser = await chromium.launch({ executablePath: process.env.LAKEWARD_CHROMIUM ?? '/usr/bin/chromium', args: FLAGS });
}

export async function end() {
  await browser?.close();
  rmSync(scratch, { recursive: true, force: true });
}

function listening(child) {
  return new Promise((resolve, reject) => {
    let said = '';
    const timer = setTimeout(() => reject(new Error(`the server did not say its address within 10 s: ${said}`)), 10000);
    child.stdout.on('data', (piece) => {
      said += piece;
      const url = /http:\/\/127\.0\.0\.1:\d+\//.exec(said)?.[0];
      if (url) { clearTimeout(timer); resolve(url); }
    });
    child.stderr.on('data', (piece) => { said += piece; });
    child.once('exit', (code) => { clearTimeout(timer); reject(new Error(`the server ended with ${code}: ${said}`)); });
  });
}

async function startProgram(store, port) {
  const child = spawn(program, ['--store', store, 'serve', '--port', String(port)], { env: { ...process.env, LAKEWARD_TODAY: TODAY } });
  const url = await listening(child);
  const stop = () => new Promise((done) => { child.once('exit', done); child.kill('SIGTERM'); });
  return { url, stop };
}

/** A server on its own copy of the demonstration (or on an empty store). */
export async function serve({ empty = false } = {}) {
  if (mock) {
    let running = await startMock(0, empty);
    const { url } = running;
    return { url, store: null, stop: () => running.stop(), restart: async () => { running = await startMock(Number(new URL(url).port), empty); } };
  }
  const store = join(scratch, `store-${++stores}.lakeward`);
  if (empty) {
    const made = spawnSync(program, ['new', store], { encoding: 'utf8', env: { ...process.env, LAKEWARD_TODAY: TODAY } });
    if (made.status !== 0) throw new Error(`lakeward new failed: ${made.stderr || made.stdout}`);
  } else copyFileSync(demo, store);
  let running = await startProgram(store, 0);
  const { url } = running;
  return { url, store, stop: () => running.stop(), restart: async () => { running = await startProgram(store, Number(new URL(url).port)); } };
}

/** What the command line answers on a server's store, as JSON; null where invented answers are served. */
export function commandLine(server, ...words) {
  if (!server.store) return null;
  const done = spawnSync(program, ['--store', server.store, ...words, '--json'], { encoding: 'utf8', maxBuffer: 1 << 28, env: { ...process.env, LAKEWARD_TODAY: TODAY } });
  if (done.status !== 0) throw new Error(`lakeward ${words.join(' ')} failed: ${done.stderr || done.stdout}`);
  return JSON.parse(done.stdout);
}

/** A page with a watch on it. `watch.problems` must be empty at the end. */
export async function open(url, { viewport = PHONE, scheme = 'light', worker = false, reducedMotion = 'reduce' } = {}) {
  const context = await browser.newContext({ viewport, colorScheme: scheme, reducedMotion, hasTouch: viewport.width < 900, serviceWorkers: worker ? 'allow' : 'block' });
  const watch = { problems: [], expectOffline: false };
  context.on('request', (request) => {
    if (!request.url().startsWith(url)) watch.problems.push(`a request left the origin: ${request.url()}`);
  });
  const page = await context.newPage();
  page.setDefaultTimeout(20000);
  page.on('pageerror', (error) => watch.problems.push(`page error: ${error.message}`));
  page.on('console', (message) => {
    const text = message.text();
    if (message.type() !== 'error' && !/Content Security Policy/i.test(text)) return;
    // The browser itself notes refused entries and a server that is away; both are part of some tests.
    if (/status of 400/.test(text) && watch.expectRefusal) return;
    if (watch.expectOffline && /ERR_CONNECTION_REFUSED|status of 503|Failed to fetch/.test(text)) return;
    watch.problems.push(`console: ${text}`);
  });
  await page.goto(url);
  return { page, context, watch };
}

export async function go(page, hash) {
  await page.evaluate((to) => { location.hash = to; }, hash);
  await page.waitForFunction(() => !document.querySelector('#main [aria-busy="true"]'));
  await page.waitForTimeout(60);
}

export function check(condition, text) {
  if (!condition) throw new Error(text);
}

export function same(got, want, text) {
  if (got !== want) throw new Error(`${text}: got ${JSON.stringify(got)}, expected ${JSON.stringify(want)}`);
}

export function clean(watch) {
  check(watch.problems.length === 0, `the page had problems:\n  ${watch.problems.join('\n  ')}`);
}

export const SCREENS = ['#/', '#/why/1', '#/water/1', '#/water/new', '#/map/1', '#/log', '#/log/treatment', '#/log/note', '#/log/weather', '#/shelf', '#/methods', '#/methods/material-dose', '#/rules', '#/settings', '#/day-sheet'];
