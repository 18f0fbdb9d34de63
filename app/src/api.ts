// SPDX-License-Identifier: Apache-2.0
// Talks to the server: one way to read, one way to write, and faults as sentences.
import type { FaultBody } from './types';

const BASE = 'api';

/** Something the server refused, or could not be asked. `offline` when it was not reached at all. */
export class Fault extends Error {
  constructor(message: string, readonly id: string, readonly field: string | null, readonly status: number) {
    super(message);
  }
  get offline(): boolean { return this.id === 'offline'; }
}

export interface Answer<T> {
  data: T;
  /** When the answer comes from this device's keep: the instant it was kept. */
  keptAt: string | null;
}

function offline(): Fault {
  return new Fault('The server cannot be reached from this device right now.', 'offline', null, 0);
}

async function faultOf(response: Response): Promise<Fault> {
  try {
    const body = (await response.json()) as { error?: FaultBody };
    if (body.error) return new Fault(body.error.message, body.error.id, body.error.field, response.status);
  } catch { /* not JSON: said below */ }
  return new Fault(`The server answered ${response.status} without saying why. Try again; if it stays so, restart the server.`,
    'internal', null, response.status);
}

export async function read<T>(path: string): Promise<Answer<T>> {
  let response: Response;
  try {
    response = await fetch(BASE + path, { headers: { accept: 'application/json' }, cache: 'no-store' });
  } catch { throw offline(); }
  if (!response.ok) throw await faultOf(response);
  return { data: (await response.json()) as T, keptAt: response.headers.get('x-lakeward-kept') };
}

export type Write = 'POST' | 'PATCH' | 'PUT' | 'DELETE';

export async function write<T>(method: Write, path: string, body: unknown): Promise<T> {
  let response: Response;
  try {
    response = await fetch(BASE + path, {
      method,
      headers: { 'content-type': 'application/json', accept: 'application/json' },
      body: JSON.stringify(body ?? {}),
    });
  } catch { throw offline(); }
  if (!response.ok) throw await faultOf(response);
  return (await response.json()) as T;
}
