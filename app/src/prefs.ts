// SPDX-License-Identifier: Apache-2.0
// What this device remembers by itself: theme, the last water, the last unit of each field, who
// writes. A device that forbids storage simply forgets.
import { Cell } from './cell';

const PREFIX = 'lakeward.';

export function recall(key: string): string | null {
  try { return localStorage.getItem(PREFIX + key); } catch { return null; }
}

export function remember(key: string, value: string | null): boolean {
  try {
    if (value === null) localStorage.removeItem(PREFIX + key);
    else localStorage.setItem(PREFIX + key, value);
    return true;
  } catch { return false; }
}

export type Theme = 'system' | 'light' | 'dark';

function readTheme(): Theme {
  const kept = recall('theme');
  return kept === 'light' || kept === 'dark' ? kept : 'system';
}

export const theme = new Cell<Theme>(readTheme());

export function applyTheme(): void {
  const chosen = theme.get();
  if (chosen === 'system') delete document.documentElement.dataset['theme'];
  else document.documentElement.dataset['theme'] = chosen;
}

export function chooseTheme(chosen: Theme): void {
  remember('theme', chosen === 'system' ? null : chosen);
  theme.set(chosen);
  applyTheme();
}

/** Who writes on this device; goes with every entry. */
export const writer = new Cell<string>(recall('writer') ?? '');

export function chooseWriter(name: string): void {
  remember('writer', name.trim() || null);
  writer.set(name.trim());
}
