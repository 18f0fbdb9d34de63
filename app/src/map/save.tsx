// SPDX-License-Identifier: Apache-2.0
// Writing from the map: one thing at a time, what the server refuses in its own words, what was saved
// with its undo.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Fault, Write } from '../api';
import { asFault, Refused } from '../parts';
import { dropWaiting, send, sendNow, type Sent } from '../queue';
import { readable } from '../words';

export interface Task { method: Write; path: string; body: Record<string, unknown>; shown: string; /** Too large to wait on the device. */ now?: boolean }

export interface Saver {
  saving: boolean; fault: Fault | null; done: Sent | null; undone: boolean;
  /** Null when it was refused. */
  run: (task: Task) => Promise<Sent | null>;
  undo: () => Promise<void>;
  clear: () => void;
  /** Leaves what was saved on show, with its undo. */
  forgive: () => void;
}

export function useSaver(): Saver {
  const [saving, setSaving] = useState(false);
  const [fault, setFault] = useState<Fault | null>(null);
  const [done, setDone] = useState<Sent | null>(null);
  const [undone, setUndone] = useState(false);
  const attempt = async (act: () => Promise<Sent | null>): Promise<Sent | null> => {
    setSaving(true);
    setFault(null);
    try { return await act(); } catch (error) { setFault(asFault(error)); return null; } finally { setSaving(false); }
  };
  const run = (task: Task): Promise<Sent | null> => attempt(async () => {
    setDone(null);
    const sent = task.now ? await sendNow(task.method, task.path, task.body) : await send(task.method, task.path, task.body, task.shown);
    setDone(sent);
    setUndone(false);
    return sent;
  });
  const undo = async (): Promise<void> => {
    if (!done) return;
    await attempt(async () => {
      if (done.kind === 'waiting') dropWaiting(done.item.key);
      else await send('POST', '/undo', { change: done.entry.change }, `take back: ${done.entry.shown}`);
      setUndone(true);
      return done;
    });
  };
  return { saving, fault, done, undone, run, undo, clear: () => { setDone(null); setFault(null); }, forgive: () => setFault(null) };
}

/** What was saved, with its undo; or why it was not. */
export function SavedNote({ saver, kept }: { saver: Saver; kept: string }): JSX.Element | null {
  const { saving, fault, done, undone } = saver;
  if (!saving && !fault && !done) return null;
  const shown = done && readable(done.kind === 'saved' ? done.entry.shown : done.item.shown);
  const warning = done?.kind === 'saved' && !undone ? done.entry.warning : null;
  return (
    <div class="map-saved" role="status">
      {saving && <p class="quiet">Saving.</p>}
      <Refused fault={fault} kept={kept} />
      {done && !saving && (
        <div class="saved">
          <p>{undone ? `Taken back: ${shown}` : <><strong>{done.kind === 'saved' ? 'Saved.' : 'Kept on this device, sent later.'}</strong> {shown}</>}</p>
          {warning && <p class="saved-question">{warning}</p>}
          <p class="acts">
            {!undone && <button type="button" class="button" onClick={() => void saver.undo()}>Undo</button>}
            <button type="button" class="button plain" onClick={saver.clear}>Close</button>
          </p>
        </div>
      )}
    </div>
  );
}
