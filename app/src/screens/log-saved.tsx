// SPDX-License-Identifier: Apache-2.0
// What was just written down, at once, with its undo, the question about an unusual value, and what
// it changed about the water's verdict.
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Fault } from '../api';
import { asFault, Refused } from '../parts';
import { dropWaiting, send, type Sent } from '../queue';
import { href, type Route } from '../route';
import type { Item, Now, WaterNow } from '../types';
import { inOrder, readable, slug, VERDICT } from '../words';

export interface Saved { sent: Sent; typed: string; water: number; before: WaterNow | undefined; undone: boolean }

function Outcome({ before, after }: { before: WaterNow | undefined; after: WaterNow | undefined }): JSX.Element | null {
  const lead: Item | undefined = after && inOrder(after.items)[0];
  if (!after || !lead) return null;
  const old: Item | undefined = before && inOrder(before.items)[0];
  const changed = old !== undefined && (old.verdict !== lead.verdict || old.subject !== lead.subject);
  return (
    <a class="outcome" href={href('why', after.id, slug(lead.subject))}>
      <strong class={`verdict-small verdict-${lead.verdict}`}>{VERDICT[lead.verdict]}</strong>
      <span>{changed ? `${after.water} was “${VERDICT[old.verdict].toLowerCase()}”, now: ` : ''}{readable(lead.headline)}</span>
    </a>
  );
}

export function SavedLine({ saved, now, onChange, onPutBack }: {
  saved: Saved; now: Now | undefined; onChange: (saved: Saved | null) => void; onPutBack: (text: string) => void; at: Route;
}): JSX.Element {
  const [fault, setFault] = useState<Fault | null>(null);
  const [sure, setSure] = useState(false);
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => { box.current?.scrollIntoView({ block: 'nearest' }); }, [saved]);
  const { sent } = saved;
  if (saved.undone) return <div class="saved" ref={box}><p>Taken back: {readable(shownOf(sent))}</p></div>;
  const undo = async (mend: boolean): Promise<void> => {
    setFault(null);
    try {
      if (sent.kind === 'waiting') dropWaiting(sent.item.key);
      else await send('POST', '/undo', { change: sent.entry.change }, `take back: ${sent.entry.shown}`);
      if (mend) onPutBack(saved.typed);
      onChange({ ...saved, undone: true });
    } catch (error) { setFault(asFault(error)); }
  };
  const warning = sent.kind === 'saved' && !sure ? sent.entry.warning : null;
  return (
    <div class="saved" ref={box}>
      <p><strong>{sent.kind === 'saved' ? 'Saved.' : 'Kept on this device, sent later.'}</strong> {readable(shownOf(sent))}</p>
      {warning && <p class="saved-question">{warning}</p>}
      <Refused fault={fault} kept="The entry still stands." />
      <p class="acts">
        {warning && <button type="button" class="button strong" onClick={() => setSure(true)}>Yes, it is right</button>}
        {warning && <button type="button" class="button" onClick={() => void undo(true)}>No, let me mend it</button>}
        {!warning && <button type="button" class="button" onClick={() => void undo(false)}>Undo</button>}
      </p>
      {sent.kind === 'saved' && <Outcome before={saved.before} after={now?.waters.find((one) => one.id === saved.water)} />}
    </div>
  );
}

function shownOf(sent: Sent): string {
  return sent.kind === 'saved' ? sent.entry.shown : sent.item.shown;
}
