// SPDX-License-Identifier: Apache-2.0
// Entries made without a signal: kept on this device in order, sent when the server answers again.
// What the server then refuses is kept too, with its sentence, until the person mends or drops it.
import { Fault, write, type Write } from './api';
import { Cell } from './cell';
import { refresh } from './live';
import { recall, remember, writer } from './prefs';
import type { Entry } from './types';

export interface Waiting {
  key: string;
  method: Write;
  path: string;
  body: Record<string, unknown>;
  /** The entry in words, for the person. */
  shown: string;
  madeAt: string;
  refused: string | null;
}

function readKept(): Waiting[] {
  try {
    const kept: unknown = JSON.parse(recall('waiting') ?? '[]');
    return Array.isArray(kept) ? (kept as Waiting[]) : [];
  } catch { return []; }
}

export const waiting = new Cell<Waiting[]>(readKept());

function keep(list: Waiting[]): boolean {
  waiting.set(list);
  return remember('waiting', list.length ? JSON.stringify(list) : null);
}

export type Sent = { kind: 'saved'; entry: Entry } | { kind: 'waiting'; item: Waiting };

function withWriter(body: Record<string, unknown>): Record<string, unknown> {
  const who = writer.get();
  return who && body['who'] === undefined ? { ...body, who } : body;
}

/** Writes now, or keeps the entry when the server cannot be reached. Throws what the server refuses. */
export async function send(method: Write, path: string, body: Record<string, unknown>, shown: string): Promise<Sent> {
  const full = withWriter(body);
  try {
    const entry = await write<Entry>(method, path, full);
    await refresh();
    return { kind: 'saved', entry };
  } catch (error) {
    if (!(error instanceof Fault) || !error.offline) throw error;
    const item: Waiting = {
      key: `${Date.now()}-${Math.random().toString(36).slice(2, 8)}`,
      method, path, body: full, shown, madeAt: new Date().toISOString(), refused: null,
    };
    if (!keep([...waiting.get(), item])) {
      throw new Fault('The server cannot be reached, and this device does not let the page keep entries. Nothing was saved; write it on paper.',
        'storage', null, 0);
    }
    return { kind: 'waiting', item };
  }
}

/** Writes now or not at all: for what is too large to be kept on this device. */
export async function sendNow(method: Write, path: string, body: Record<string, unknown>): Promise<Sent> {
  const answer = await write<Entry | { entry: Entry }>(method, path, withWriter(body));
  await refresh();
  return { kind: 'saved', entry: 'entry' in answer ? answer.entry : answer };
}

export function dropWaiting(key: string): void {
  keep(waiting.get().filter((item) => item.key !== key));
}

/** Another page of ours on this device may have sent or added entries. */
addEventListener('storage', (event) => {
  if (event.key === 'lakeward.waiting') waiting.set(readKept());
});

async function sendOne(item: Waiting): Promise<'sent' | 'later'> {
  try {
    await write<Entry>(item.method, item.path, item.body);
    dropWaiting(item.key);
    return 'sent';
  } catch (error) {
    if (error instanceof Fault && !error.offline && error.status < 500) {
      keep(waiting.get().map((other) => (other.key === item.key ? { ...other, refused: error.message } : other)));
      return 'sent';
    }
    return 'later';
  }
}

async function sendAll(): Promise<void> {
  let sent = 0;
  for (const item of readKept().filter((one) => one.refused === null)) {
    if (!waiting.get().some((one) => one.key === item.key)) continue;
    if ((await sendOne(item)) === 'later') break;
    sent++;
  }
  if (sent) await refresh();
}

let sending = false;

/** Sends what waits, oldest first; one page at a time where the browser offers locks. */
export async function flush(): Promise<void> {
  if (sending || !waiting.get().some((item) => item.refused === null)) return;
  sending = true;
  try {
    if ('locks' in navigator) await navigator.locks.request('lakeward-send', sendAll);
    else await sendAll();
  } finally { sending = false; }
}
