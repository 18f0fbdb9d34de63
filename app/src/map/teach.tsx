// SPDX-License-Identifier: Apache-2.0
// What is missing, and the next step: an outline, a depth, ten depths, lines of soundings.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { Fault } from '../api';
import { asFault, Field, Refused, sentenceOfFault } from '../parts';
import type { Sheet } from '../types';
import { sentence } from '../words';
import { sayMiss, sayRange, sayShown, unitOf } from './measure';
import { SavedNote, useSaver } from './save';
import type { Basin } from './types';

/** No outline: the shape of the shore comes first. */
export function NoOutline({ sheet }: { sheet: Sheet }): JSX.Element {
  const saver = useSaver();
  const [fault, setFault] = useState<Fault | null>(null);
  const choose = async (file: File | undefined): Promise<void> => {
    if (!file) return;
    setFault(null);
    try {
      const outline: unknown = JSON.parse(await file.text());
      await saver.run({ method: 'PATCH', path: `/waters/${sheet.id}`, body: { outline }, shown: `${sheet.name}: outline of ${file.name}`, now: true });
    } catch (error) {
      setFault(error instanceof SyntaxError ? new Fault(`${file.name} is not GeoJSON: ${error.message}.`, 'invalid', 'outline', 0) : asFault(error));
    }
  };
  return (
    <div class="empty">
      <h2>The map begins with the outline</h2>
      <p>Nobody has given the shore of {sheet.name} yet. Walk round it with a GPS, or draw it on an aerial photograph in a mapping program, and bring the file.</p>
      <Field label="Outline as GeoJSON" hint="one polygon in longitude and latitude; islands as holes"><input type="file" accept=".geojson,.json,application/geo+json,application/json" onChange={(event) => void choose(event.currentTarget.files?.[0])} /></Field>
      <Refused fault={fault} kept="Nothing was changed." />
      <SavedNote saver={saver} kept="Nothing was changed." />
      <p class="small quiet">KML, GPX, Shapefile or GeoPackage: <code>lakeward water set "{sheet.name}" --outline FILE</code></p>
      <a class="button" href={`#/water/${sheet.id}`}>Back to {sheet.name}</a>
    </div>
  );
}

/** An outline but nothing about depth: one told figure makes a first shape. */
export function NoDepth({ sheet, fault, metric, onRope }: { sheet: Sheet; fault: Fault; metric: boolean; onRope: () => void }): JSX.Element {
  const saver = useSaver();
  const [typed, setTyped] = useState('');
  const save = (event: Event): void => {
    event.preventDefault();
    void saver.run({ method: 'PATCH', path: `/waters/${sheet.id}`, body: { max_depth: typed.trim() }, shown: `${sheet.name}: greatest depth ${typed.trim()}` });
  };
  return (
    <section class="inset teach">
      <h2>How deep is it?</h2>
      <p>{sentenceOfFault(fault)}</p>
      <form class="form" onSubmit={save}>
        <Field label="Greatest depth, as you know it" hint={`for example ${metric ? '4 m' : '14 ft'}; a bowl of that depth is drawn into the outline`}><input type="text" value={typed} required autocomplete="off" onInput={(event) => setTyped(event.currentTarget.value)} /></Field>
        <SavedNote saver={saver} kept="What you typed is still here." />
        <p class="acts"><button class="button strong" type="submit" disabled={saver.saving}>Save</button><button class="button" type="button" onClick={onRope}>Enter depths by rope</button></p>
      </form>
    </section>
  );
}

/** What the shape rests on, how wide that is, and what would narrow it most. */
export function RestsOn({ basin, onRope, onImport }: { basin: Basin; onRope: () => void; onImport: () => void }): JSX.Element {
  const check = basin.cross_validation;
  const told = basin.way === 'told-max' || basin.way === 'told-mean';
  const range = sayRange(basin.volume.low, basin.volume.high, unitOf(basin.volume));
  return (
    <section class={basin.way === 'sounded' ? 'rests' : 'rests inset'} aria-label="What the map rests on">
      <p>{sentence(basin.how)}</p>
      {told && <p>The volume may lie anywhere from {range}. Ten depths with a marked rope, some of them along the deep middle, are half an hour in the boat.</p>}
      {basin.way === 'few-depths' && <p>Nine times in ten the volume is {range}. An echo sounder with GPS, driven in lines across the water, narrows it further; each line should cross the deepest part.</p>}
      {check && <p class="small quiet">Checked on {basin.way === 'few-depths' ? 'depths left out one by one' : 'lines left out'}: off by {sayMiss(check.rmse)} (root mean square), {Math.abs(check.bias.value) < 0.015 ? 'no lean either way' : `${sayShown(check.bias.shown)} on average`}, {check.soundings.value.toLocaleString('en-US')} soundings.</p>}
      {told && <p class="acts"><button type="button" class="button strong" onClick={onRope}>Enter depths by rope</button><button type="button" class="button" onClick={onImport}>Import soundings</button></p>}
      {basin.way === 'few-depths' && <p class="acts"><button type="button" class="button" onClick={onRope}>More depths by rope</button><button type="button" class="button" onClick={onImport}>Import soundings</button></p>}
    </section>
  );
}
