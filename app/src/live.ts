// SPDX-License-Identifier: Apache-2.0
// The answers on show: fetched once, shared, fetched again when the store's revision moves.
import { useEffect, useState } from 'preact/hooks';
import { Fault, read, type Answer } from './api';
import { Cell } from './cell';
import type { Version } from './types';

export interface Shown<T> {
  data: T | undefined;
  fault: Fault | undefined;
  /** Fetching, with nothing to show yet. */
  loading: boolean;
  /** Fetching anew; what is shown may be about to change. */
  busy: boolean;
}

interface Line {
  data?: unknown;
  fault?: Fault | undefined;
  keptAt: string | null;
  watchers: Set<() => void>;
  asked: number;
  answered: number;
}

const POLL_MS = 15000;
const lines = new Map<string, Line>();

export const version = new Cell<Version | null>(null);
/** Null while the server answers; else the instant of the oldest answer on show ('' when unknown). */
export const keptAt = new Cell<string | null>(null);

function lineOf(path: string): Line {
  let line = lines.get(path);
  if (!line) {
    line = { keptAt: null, watchers: new Set(), asked: 0, answered: 0 };
    lines.set(path, line);
  }
  return line;
}

function judgeSignal(reached: boolean): void {
  if (reached) {
    keptAt.set(null);
    return;
  }
  const kept = [...lines.values()].filter((line) => line.watchers.size > 0 && line.keptAt).map((line) => line.keptAt as string);
  keptAt.set(kept.sort()[0] ?? keptAt.get() ?? '');
}

function tell(line: Line): void {
  for (const watcher of [...line.watchers]) watcher();
}

async function fetchLine(path: string): Promise<void> {
  const line = lineOf(path);
  const turn = ++line.asked;
  if (line.data !== undefined) tell(line);
  let answer: Answer<unknown> | null = null;
  let fault: Fault | undefined;
  try {
    answer = await read<unknown>(path);
  } catch (error) {
    fault = error instanceof Fault ? error : new Fault(String(error), 'internal', null, 0);
  }
  if (turn !== line.asked) return; // a later question has been asked meanwhile
  line.answered = turn;
  if (answer) {
    line.data = answer.data;
    line.keptAt = answer.keptAt;
    line.fault = undefined;
    judgeSignal(answer.keptAt === null);
    const said = answer.data as { revision?: number; units?: string };
    if (path === '/version') version.set(said as Version);
  } else {
    line.fault = fault;
    if (fault?.offline) judgeSignal(false);
  }
  tell(line);
}

/** Asked for once the basin itself has answered: asked all at once, the server would reckon the same bed
 * several times over and keep others waiting. */
const RESTS_ON_BED = /^\/waters\/[^/]+\/(basin\/|soundings)/;

/** Fetches everything on show again; forgets what is not on show. */
export async function refresh(): Promise<void> {
  const shown: string[] = ['/version'];
  for (const [path, line] of lines) {
    if (path === '/version') continue;
    if (line.watchers.size > 0) shown.push(path);
    else lines.delete(path);
  }
  await Promise.all(shown.filter((path) => !RESTS_ON_BED.test(path)).map(fetchLine));
  await Promise.all(shown.filter((path) => RESTS_ON_BED.test(path)).map(fetchLine));
}

export function useGet<T>(path: string | null): Shown<T> {
  const [, redraw] = useState(0);
  useEffect(() => {
    if (path === null) return undefined;
    const line = lineOf(path);
    const again = (): void => redraw((n) => n + 1);
    line.watchers.add(again);
    // Asked anew on each visit: an answer already here is shown at once and then replaced.
    void fetchLine(path);
    return () => { line.watchers.delete(again); };
  }, [path]);
  const line = path === null ? undefined : lines.get(path);
  const data = line?.data as T | undefined;
  return { data, fault: line?.fault, loading: data === undefined && !line?.fault, busy: line !== undefined && line.asked !== line.answered };
}

let onReached: (() => void) | null = null;

async function poll(): Promise<void> {
  if (document.visibilityState !== 'visible') return;
  const before = version.get();
  const wasKept = keptAt.get() !== null;
  await fetchLine('/version');
  if (keptAt.get() !== null) return;
  onReached?.();
  const after = version.get();
  if (wasKept || (before && after && (before.revision !== after.revision || before.today !== after.today))) await refresh();
}

/** Starts watching the server; `reached` is called whenever it answers. */
export function startLive(reached: () => void): void {
  onReached = reached;
  void poll();
  setInterval(() => void poll(), POLL_MS);
  document.addEventListener('visibilitychange', () => void poll());
  addEventListener('online', () => void poll());
  addEventListener('offline', () => void poll());
}
