// SPDX-License-Identifier: Apache-2.0
// A new water: a name and an area are enough to begin.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Fault } from '../api';
import { asFault, Refused } from '../parts';
import { send } from '../queue';
import { go, href } from '../route';
import { FACT_GROUPS, FactInput, type FactField } from './facts';

const FIRST_KEYS = ['name', 'area', 'mean_depth', 'use'];
const FIRST: FactField[] = FIRST_KEYS.flatMap((key) => FACT_GROUPS.flatMap((group) => group.fields).filter((field) => field.key === key));

export function NewWaterScreen(): JSX.Element {
  const [typed, setTyped] = useState<Record<string, string>>({});
  const [fault, setFault] = useState<Fault | null>(null);
  const [kept, setKept] = useState(false);
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    setFault(null);
    const body = Object.fromEntries(Object.entries(typed).filter(([, value]) => value.trim() !== ''));
    try {
      const sent = await send('POST', '/waters', body, `new water ${typed['name'] ?? ''}`);
      if (sent.kind === 'saved') go(href('water', sent.entry.id));
      else setKept(true);
    } catch (error) { setFault(asFault(error)); }
  };
  if (kept) return <div class="empty"><h1>Kept on this device</h1><p>{typed['name']} is sent as soon as the server answers.</p><a class="button strong" href="#/">To Today</a></div>;
  return (
    <div class="narrow">
      <a class="button back" href="#/">‹ Today</a>
      <header class="screen-head"><h1>A new water</h1><p class="quiet">The name and a guess of the area are enough. What is missing, the page asks for one by one.</p></header>
      <form class="form" onSubmit={save}>
        {FIRST.map((field) => <FactInput key={field.key} field={field} value={typed[field.key] ?? ''} onInput={(value) => setTyped({ ...typed, [field.key]: value })} />)}
        <Refused fault={fault} kept="What you typed is still here." />
        <button class="button strong big" type="submit">Add the water</button>
      </form>
    </div>
  );
}
