// SPDX-License-Identifier: Apache-2.0
// What the tests of the lake map share: the server's own figures, and where a spot lies on the screen.
import { check, clean, go, open, serve } from './harness.mjs';

export async function ask(server, path) {
  const answer = await fetch(`${server.url}api${path}`);
  check(answer.ok, `GET ${path} answered ${answer.status}`);
  return answer.json();
}

/** The first water whose basin is as wanted. */
export async function waterWith(server, wanted, what) {
  for (const { id } of (await ask(server, '/waters')).waters) {
    const answer = await fetch(`${server.url}api/waters/${id}/basin`);
    if (!answer.ok) continue;
    const basin = await answer.json();
    if (wanted(basin)) return basin;
  }
  throw new Error(`the demonstration has no water with ${what}`);
}

export const sounded = (server) => waterWith(server, (basin) => basin.surveys.length === 1 && basin.surveys.some((one) => one.used && one.set_aside.length > 0), 'one survey, some of its soundings set aside');

export async function openMap(page, id) {
  await go(page, `#/map/${id}`);
  await page.locator('.legend').first().waitFor({ timeout: 60000 });
  // a narrow arm may have no room for a label: then the layer itself must be there
  await page.locator('.map-labels text:visible').first().waitFor({ timeout: 4000 }).catch(() => page.locator('.map-surface .map-labels').first().waitFor({ state: 'attached' }));
}

/** Pixels of the page where a spot of the plane lies. */
export async function pixelOf(page, [x, y]) {
  return page.locator('.map-surface').evaluate((element, spot) => {
    const [a, , , d, e, f] = element.dataset.matrix.split(' ').map(Number);
    const box = element.getBoundingClientRect();
    return [box.left + a * spot[0] + e, box.top + d * spot[1] + f];
  }, [x, y]);
}

export async function tapAt(page, spot) {
  const [x, y] = await pixelOf(page, spot);
  await page.mouse.click(x, y);
}

/** Spots well inside the water, spread over it: middles of cells, shifted so that nothing cancels. */
export function spotsIn(map, count) {
  const { nx, ny, step, x0, y0 } = map.frame;
  const full = [];
  for (let j = 0; j < ny - 1; j++) for (let i = 0; i < nx - 1; i++) if (map.cover[j * (nx - 1) + i] === 100) full.push([x0 + (i + 0.31) * step, y0 + (j + 0.73) * step]);
  return Array.from({ length: count }, (_, k) => full[Math.floor(((k + 0.5) / count) * full.length)]);
}

export async function withMap(test, options = {}) {
  const server = await serve(options);
  const { page, context, watch } = await open(server.url, options);
  try {
    await test(page, server, watch);
    clean(watch);
  } finally {
    await context.close();
    await server.stop();
  }
}
