// SPDX-License-Identifier: Apache-2.0
// The form beside the map while a place is drawn: kind, points, name, save.
import type { JSX } from 'preact';
import { Chips, Field } from '../parts';
import type { Zone } from '../types';
import { areaOf, finished, geometryOf, isEnough, ofForm, ofKind, wanting, without, type Draft } from './draft';
import type { ChangeDraft } from './draft-layer';
import { FORM_TEXT, KINDS, kindOf } from './kinds';
import { sayAmount } from './measure';
import type { Plane } from './plane';
import { SavedNote, type Saver } from './save';

function stepText(draft: Draft): string {
  if (draft.fixed) return 'Its outline has several parts and came from a file. Name and kind can be changed here.';
  if (draft.form === 'spot') return draft.points.length ? 'Drag the point to where it belongs, then save.' : 'Tap the map where it is, or move the cross there and press Enter.';
  if (!draft.finished) return `Tap the map point by point, or move the cross and press Enter. ${wanting(draft) ? `${wanting(draft)} at least.` : 'Then finish.'}`;
  return 'Drag the points to where they belong. A small dot between two makes a new point.';
}

/** Area in the person's unit while drawing; the volume follows from the server once it is saved. */
function AreaSoFar({ draft, areaUnit }: { draft: Draft; areaUnit: string }): JSX.Element | null {
  if (draft.form !== 'area' || draft.points.length < 3) return null;
  return <p class="small quiet">About {sayAmount(areaOf(draft.points), areaUnit)} drawn; what of it is water, and its volume, stand here once it is saved.</p>;
}

function KindFields({ draft, zones, change }: { draft: Draft; zones: Zone[]; change: ChangeDraft }): JSX.Element {
  const kind = kindOf(draft.kind);
  return (
    <>
      <Field label="What is it?" {...(kind.hint ? { hint: kind.hint } : {})}>
        <select value={draft.kind} onChange={(event) => { const chosen = event.currentTarget.value; change((now) => ofKind(now, chosen, zones)); }}>
          {KINDS.map(({ kind: value, text }) => <option key={value} value={value}>{text}</option>)}
        </select>
      </Field>
      {kind.forms.length > 1 && !draft.fixed && (
        <Chips label="Drawn as" small options={kind.forms.map((value) => ({ value, text: FORM_TEXT[value] }))} chosen={draft.form} onChoose={(form) => change((now) => ofForm(now, form))} />
      )}
    </>
  );
}

function PointButtons({ draft, vertex, change, onVertex }: { draft: Draft; vertex: number | null; change: ChangeDraft; onVertex: (vertex: number | null) => void }): JSX.Element | null {
  if (draft.fixed || draft.form === 'spot') return null;
  const count = draft.points.length;
  const picked = vertex !== null && vertex < count ? vertex : null;
  return (
    <p class="acts">
      {!draft.finished && <button type="button" class="button strong" disabled={!isEnough(draft)} onClick={() => change(finished)}>Finish</button>}
      {!draft.finished && <button type="button" class="button" disabled={!count} onClick={() => change((now) => without(now, now.points.length - 1))}>Take back one</button>}
      {draft.finished && <button type="button" class="button" onClick={() => change((now) => ({ ...now, finished: false }))}>More points</button>}
      {draft.finished && (
        <button type="button" class="button" disabled={picked === null} onClick={() => { if (picked !== null) { change((now) => without(now, picked)); onVertex(null); } }}>Delete this point</button>
      )}
    </p>
  );
}

export function DrawForm({ draft, vertex, zones, water, plane, areaUnit, change, onVertex, onLeave, saver }: {
  draft: Draft; vertex: number | null; zones: Zone[]; water: number; plane: Plane; areaUnit: string;
  change: ChangeDraft; onVertex: (vertex: number | null) => void; onLeave: () => void; saver: Saver;
}): JSX.Element {
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    const outline = draft.fixed ? {} : { outline: geometryOf(draft, plane) };
    const body = { name: draft.name.trim(), kind: draft.kind, ...outline, ...(draft.id === null ? { water } : {}) };
    const path = draft.id === null ? '/zones' : `/zones/${draft.id}`;
    if (await saver.run({ method: draft.id === null ? 'POST' : 'PATCH', path, body, shown: `${draft.name.trim()} on the map` })) onLeave();
  };
  const remove = async (): Promise<void> => {
    if (await saver.run({ method: 'DELETE', path: `/zones/${draft.id}`, body: {}, shown: `take away ${draft.name}` })) onLeave();
  };
  return (
    <form class="form inset draw-form" onSubmit={(event) => void save(event)} aria-label={draft.id === null ? 'Draw a place' : `Change ${draft.name}`}>
      <p><strong>{stepText(draft)}</strong></p>
      <PointButtons draft={draft} vertex={vertex} change={change} onVertex={onVertex} />
      <KindFields draft={draft} zones={zones} change={change} />
      {draft.finished && <Field label="Name"><input type="text" value={draft.name} required autocomplete="off" onInput={(event) => { const name = event.currentTarget.value; change((now) => ({ ...now, name })); }} /></Field>}
      <AreaSoFar draft={draft} areaUnit={areaUnit} />
      <SavedNote saver={{ ...saver, done: null }} kept="What you drew is still here." />
      <p class="acts">
        {draft.finished && <button class="button strong" type="submit" disabled={!isEnough(draft) || saver.saving}>Save</button>}
        <button class="button" type="button" onClick={onLeave}>Leave it</button>
        {draft.id !== null && <button class="button plain" type="button" disabled={saver.saving} onClick={() => void remove()}>Take it away</button>}
      </p>
    </form>
  );
}
