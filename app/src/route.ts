// SPDX-License-Identifier: Apache-2.0
// Where we are: '#/water/3?x=y'. Links are plain anchors, so that back, forward and new tabs work.
import { Cell } from './cell';

export interface Route { parts: string[]; query: URLSearchParams }

function parse(): Route {
  const hash = location.hash.replace(/^#\/?/, '');
  const cut = hash.indexOf('?');
  const path = cut < 0 ? hash : hash.slice(0, cut);
  const parts = path.split('/').filter(Boolean).map((part) => {
    try { return decodeURIComponent(part); } catch { return part; }
  });
  return { parts, query: new URLSearchParams(cut < 0 ? '' : hash.slice(cut + 1)) };
}

export const route = new Cell<Route>(parse());

export function startRouting(): void {
  addEventListener('hashchange', () => route.set(parse()));
}

export function href(...parts: Array<string | number>): string {
  return '#/' + parts.map((part) => encodeURIComponent(String(part))).join('/');
}

export function go(target: string): void {
  location.hash = target.replace(/^#/, '');
}
