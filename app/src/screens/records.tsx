// SPDX-License-Identifier: Apache-2.0
// What was put out, noted, read and set aside at one water; each can be taken back.
import type { ComponentChildren, JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Fault } from '../api';
import { shortDay } from '../dates';
import { asFault, Refused } from '../parts';
import { send } from '../queue';
import { go, href } from '../route';
import type { Sheet } from '../types';
import { readable } from '../words';

function Removable({ path, said, children }: { path: string; said: string; children: ComponentChildren }): JSX.Element {
  const [fault, setFault] = useState<Fault | null>(null);
  const remove = async (): Promise<void> => {
    setFault(null);
    try { await send('DELETE', path, {}, `take back: ${said}`); } catch (error) { setFault(asFault(error)); }
  };
  return (
    <li class="record">
      <div class="record-text">{children}<Refused fault={fault} kept="The record is still there." /></div>
      <button type="button" class="button plain" aria-label={`Take back: ${said}`} onClick={() => void remove()}>Take back</button>
    </li>
  );
}

const FIRST = 3;

function Records<T extends { id: number }>(props: {
  title: string; list: T[]; none: ComponentChildren; path: string; said: (one: T) => string; view: (one: T) => ComponentChildren;
}): JSX.Element {
  const [all, setAll] = useState(false);
  const newest = [...props.list].reverse();
  const shown = all ? newest : newest.slice(0, FIRST);
  return (
    <section class="block">
      <h2>{props.title}</h2>
      {newest.length === 0 && <p class="quiet">{props.none}</p>}
      <ul class="records">{shown.map((one) => <Removable key={one.id} path={`${props.path}/${one.id}`} said={props.said(one)}>{props.view(one)}</Removable>)}</ul>
      {newest.length > shown.length && <button type="button" class="button" onClick={() => setAll(true)}>All {newest.length}</button>}
    </section>
  );
}

export function Treatments({ sheet, today }: { sheet: Sheet; today: string }): JSX.Element {
  return (
    <Records title="Put out" list={sheet.treatments} path="/treatments" none="Nothing was put out here yet."
      said={(one) => `${one.shown} ${one.material}, ${shortDay(one.date, today)}`}
      view={(one) => (
        <>
          <p>{readable(one.shown)} of {one.material}</p>
          <p class="small quiet">{[shortDay(one.date, today), one.purpose, one.by, one.conditions, one.note].filter(Boolean).join(' · ')}</p>
        </>
      )} />
  );
}

export function Notes({ sheet, today }: { sheet: Sheet; today: string }): JSX.Element {
  return (
    <>
      <Records title="Notes" list={sheet.notes} path="/notes" none="No notes yet."
        said={(one) => one.text.slice(0, 40)}
        view={(one) => <><p>{one.text}</p><p class="small quiet">{[shortDay(one.date, today), one.by].filter(Boolean).join(' · ')}</p></>} />
      <a class="button" href={`#/log/note?water=${sheet.id}`}>Write a note</a>
    </>
  );
}

export function Readings({ sheet, today }: { sheet: Sheet; today: string }): JSX.Element {
  return (
    <Records title="Readings" list={sheet.readings} path="/readings" none="No readings yet."
      said={(one) => `${one.quantity.replace(/-/g, ' ')} ${one.shown}, ${shortDay(one.date, today)}`}
      view={(one) => (
        <>
          <p>{one.quantity === 'secchi' ? 'disk' : one.quantity.replace(/-/g, ' ')} {readable(one.shown)}{one.depth ? ` at ${one.depth.shown}` : ''}</p>
          <p class="small quiet">{[shortDay(one.date, today), one.by, one.note].filter(Boolean).join(' · ')}</p>
        </>
      )} />
  );
}

export function Overrides({ sheet }: { sheet: Sheet }): JSX.Element | null {
  if (!sheet.overrides.length) return null;
  return (
    <Records title="Rules set aside here" list={sheet.overrides} path="/overrides" none=""
      said={(one) => one.rule}
      view={(one) => (
        <>
          <p>{one.reason}</p>
          <p class="small"><a class="text-link" href={href('rules', one.rule)}>{one.rule} ›</a> <span class="quiet">since {shortDay(one.date)}{one.until ? `, until ${shortDay(one.until)}` : ''}</span></p>
        </>
      )} />
  );
}

/** Takes the whole water off the list; asked about once, and the log can bring it back. */
export function DeleteWater({ sheet }: { sheet: Sheet }): JSX.Element {
  const [asked, setAsked] = useState(false);
  const [fault, setFault] = useState<Fault | null>(null);
  const remove = async (): Promise<void> => {
    try {
      await send('DELETE', `/waters/${sheet.id}`, {}, `take away ${sheet.name}`);
      go('#/log');
    } catch (error) { setFault(asFault(error)); }
  };
  if (!asked) return <p class="after"><button type="button" class="button plain" onClick={() => setAsked(true)}>Take this water off the list</button></p>;
  return (
    <div class="asked" role="group" aria-label={`Take ${sheet.name} off the list?`}>
      <p>Take {sheet.name} off the list? Its records stay in the file, and the log can bring it back.</p>
      <Refused fault={fault} kept="The water is still on the list." />
      <p class="acts"><button type="button" class="button strong" onClick={() => void remove()}>Take it off</button><button type="button" class="button" onClick={() => setAsked(false)}>Leave it</button></p>
    </div>
  );
}
