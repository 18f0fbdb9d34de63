// SPDX-License-Identifier: Apache-2.0
// Soundings from a file: looked at first, saved only when the person has seen the report.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { Fault, write } from '../api';
import { shortDay } from '../dates';
import { asFault, Chips, Field, Refused } from '../parts';
import { plural, readable, sentence } from '../words';
import { SavedNote, useSaver } from './save';
import type { ImportReport } from './types';

const MOST_BYTES = 22 * 1024 * 1024;
type Typed = Record<'depth_unit' | 'depth_field' | 'level' | 'date' | 'offset', string>;
const UNTYPED: Typed = { depth_unit: '', depth_field: '', level: '', date: '', offset: '' };

interface Chosen { name: string; text: string }

export function ReportView({ report }: { report: ImportReport }): JSX.Element {
  const aside = report.set_aside.filter((one) => one.count > 0);
  return (
    <div class="import-report">
      <p><strong>{plural(report.read, 'sounding')} read, {report.used.toLocaleString('en-US')} of use.</strong> {report.format}{report.date ? `, sounded ${shortDay(report.date)}` : ''}.</p>
      {aside.length > 0 && <ul class="plain-list">{aside.map((one) => <li key={one.reason}>{one.count.toLocaleString('en-US')} set aside: {one.text}</li>)}</ul>}
      {report.skipped.length > 0 && <ul class="plain-list">{report.skipped.map((one) => <li key={one.what}>{one.count.toLocaleString('en-US')} passed over: {one.what}</li>)}</ul>}
      {report.warnings.map((text) => <p class="import-warning" key={text}>{sentence(readable(text))}</p>)}
      {aside.length > 0 && <p class="small quiet">Nothing is thrown away: each one set aside can be looked at on the map and put back.</p>}
    </div>
  );
}

function Details({ typed, onTyped }: { typed: Typed; onTyped: (typed: Typed) => void }): JSX.Element {
  const text = (key: keyof Typed, label: string, hint: string): JSX.Element => (
    <Field label={label} hint={hint}><input type="text" value={typed[key]} autocomplete="off" onInput={(event) => onTyped({ ...typed, [key]: event.currentTarget.value })} /></Field>
  );
  return (
    <>
      <fieldset class="field"><legend class="field-label">Depths are in</legend>
        <Chips label="Depths are in" small options={[{ value: '', text: 'As the file says' }, { value: 'ft', text: 'feet' }, { value: 'm', text: 'metres' }]} chosen={typed.depth_unit} onChoose={(depth_unit) => onTyped({ ...typed, depth_unit })} />
      </fieldset>
      <details class="folded">
        <summary><span>Level, day, column and sounder</span></summary>
        <div class="form">
          {text('level', 'Pool level that day', 'against full pool, for example -1.5 ft; empty: full')}
          <Field label="Day of the sounding" hint="empty: as the file says"><input type="date" value={typed.date} onInput={(event) => onTyped({ ...typed, date: event.currentTarget.value })} /></Field>
          {text('offset', 'Sounder below the surface', 'for example 8 in; is added to each depth')}
          {text('depth_field', 'Column with the depth', 'empty: found by its name')}
        </div>
      </details>
    </>
  );
}

function bodyOf(file: Chosen, typed: Typed): Record<string, unknown> {
  return { ...file, ...Object.fromEntries(Object.entries(typed).filter(([, value]) => value.trim() !== '').map(([key, value]) => [key, value.trim()])) };
}

async function textOf(file: File): Promise<Chosen> {
  if (file.size > MOST_BYTES) throw new Fault(`${file.name} has ${Math.round(file.size / 1e6)} MB; the page takes up to 23. Use the command line: lakeward survey import.`, 'limit', null, 0);
  return { name: file.name, text: await file.text() };
}

export function ImportForm({ water, onDone }: { water: number; onDone: () => void }): JSX.Element {
  const saver = useSaver();
  const [file, setFile] = useState<Chosen | null>(null);
  const [typed, setTyped] = useState<Typed>(UNTYPED);
  const [report, setReport] = useState<ImportReport | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  const [looking, setLooking] = useState(false);
  const path = `/waters/${water}/surveys`;
  const look = async (chosen: Chosen | null, how: Typed): Promise<void> => {
    if (!chosen) return;
    setFault(null);
    setReport(null);
    setLooking(true);
    try { setReport((await write<{ report: ImportReport }>('POST', path, { ...bodyOf(chosen, how), dry_run: true })).report); } catch (error) { setFault(asFault(error)); } finally { setLooking(false); }
  };
  const choose = async (picked: File | undefined): Promise<void> => {
    if (!picked) return;
    saver.clear();
    try {
      const chosen = await textOf(picked);
      setFile(chosen);
      await look(chosen, typed);
    } catch (error) { setFault(asFault(error)); }
  };
  const change = (how: Typed): void => { setTyped(how); if (report) setReport(null); };
  const save = async (): Promise<void> => {
    if (!file) return;
    if (await saver.run({ method: 'POST', path, body: bodyOf(file, typed), shown: `soundings of ${file.name}`, now: true })) { setFile(null); setReport(null); }
  };
  return (
    <div class="form inset import-form" role="group" aria-label="Import soundings">
      <Field label="File with soundings" hint="CSV, NMEA log, GPX or GeoJSON. Other formats: lakeward survey import on the command line.">
        <input type="file" accept=".csv,.txt,.tsv,.nmea,.log,.gpx,.geojson,.json,text/*,application/json,application/gpx+xml" onChange={(event) => void choose(event.currentTarget.files?.[0])} />
      </Field>
      {file && <Details typed={typed} onTyped={change} />}
      {looking && <p class="quiet" role="status">Looking through {file?.name}. Nothing is saved yet.</p>}
      <Refused fault={fault} kept="Nothing was changed in the store." />
      {report && <><h3>What is in {file?.name}</h3><ReportView report={report} /></>}
      <SavedNote saver={saver} kept="Nothing was changed in the store." />
      <p class="acts">
        {report && report.used > 0 && <button type="button" class="button strong" disabled={saver.saving} onClick={() => void save()}>Save these soundings</button>}
        {file && !report && !looking && <button type="button" class="button strong" onClick={() => void look(file, typed)}>Look through it</button>}
        <button type="button" class="button" onClick={onDone}>{saver.done ? 'Done' : 'Leave it'}</button>
      </p>
    </div>
  );
}
