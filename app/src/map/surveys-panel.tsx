// SPDX-License-Identifier: Apache-2.0
// The surveys behind the shape: which are used, at what level they were sounded, what was set aside.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { shortDay } from '../dates';
import { Field } from '../parts';
import type { Q } from '../types';
import { plural, readable } from '../words';
import { ImportForm } from './import-form';
import { SavedNote, useSaver, type Saver } from './save';
import type { Survey } from './types';

/** "0.4 ft down", "full", "0.2 ft over full". */
function levelText(level: Q): string {
  if (Math.abs(level.value) < 0.001) return 'full';
  return `${readable(level.shown.replace(/^-/, ''))} ${level.value < 0 ? 'down' : 'over full'}`;
}

function factsOf(survey: Survey): string {
  return [
    survey.date ? shortDay(survey.date) : 'day not known',
    survey.level ? `pool ${levelText(survey.level)}` : 'pool taken as full',
    `${plural(survey.soundings, 'sounding')}${survey.used ? `, ${survey.used_soundings.toLocaleString('en-US')} shape the map` : ''}`,
  ].join(' · ');
}

/** Level, sounder depth and note of a survey: what was typed goes to the server as it stands. */
function SurveyForm({ survey, saver, onDone }: { survey: Survey; saver: Saver; onDone: () => void }): JSX.Element {
  const before: Record<string, string> = { name: survey.name, level: survey.level?.shown ?? '', offset: survey.offset?.shown ?? '', note: survey.note };
  const [typed, setTyped] = useState(before);
  const text = (key: string, label: string, hint?: string): JSX.Element => (
    <Field label={label} {...(hint ? { hint } : {})}><input type="text" value={typed[key] ?? ''} autocomplete="off" onInput={(event) => setTyped({ ...typed, [key]: event.currentTarget.value })} /></Field>
  );
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    const body = Object.fromEntries(Object.entries(typed).filter(([key, value]) => value !== before[key]).map(([key, value]) => [key, value.trim() || null]));
    if (!Object.keys(body).length || await saver.run({ method: 'PATCH', path: `/surveys/${survey.id}`, body, shown: `survey ${survey.name} changed` })) onDone();
  };
  const remove = async (): Promise<void> => {
    if (await saver.run({ method: 'DELETE', path: `/surveys/${survey.id}`, body: {}, shown: `take away the survey ${survey.name}` })) onDone();
  };
  return (
    <form class="form inset" onSubmit={(event) => void save(event)} aria-label={`Change ${survey.name}`}>
      {text('name', 'Name')}
      {text('level', 'Pool level that day', 'against full pool, for example -1.5 ft')}
      {text('offset', 'Sounder below the surface', 'is added to each depth')}
      {text('note', 'Note')}
      <p class="acts">
        <button class="button strong" type="submit" disabled={saver.saving}>Save</button>
        <button class="button" type="button" onClick={onDone}>Leave it</button>
        <button class="button plain" type="button" disabled={saver.saving} onClick={() => void remove()}>Take this survey away</button>
      </p>
    </form>
  );
}

function SetAsideList({ survey, onShow }: { survey: Survey; onShow: () => void }): JSX.Element | null {
  const aside = survey.set_aside.filter((one) => one.count > 0);
  const count = aside.reduce((sum, one) => sum + one.count, 0);
  if (!count) return null;
  return (
    <details class="folded">
      <summary><span>{count.toLocaleString('en-US')} set aside</span></summary>
      <ul class="plain-list">{aside.map((one) => <li key={one.reason}>{one.count.toLocaleString('en-US')}: {one.text}</li>)}</ul>
      <button type="button" class="button" onClick={onShow}>Show them on the map</button>
    </details>
  );
}

function SurveyRow({ survey, saver, onShow }: { survey: Survey; saver: Saver; onShow: () => void }): JSX.Element {
  const [open, setOpen] = useState(false);
  const turn = (): void => { void saver.run({ method: 'PATCH', path: `/surveys/${survey.id}`, body: { used: !survey.used }, shown: `survey ${survey.name} ${survey.used ? 'not used' : 'used'}` }); };
  return (
    <li class="survey" data-survey={survey.id}>
      <div class="survey-head">
        <div class="record-text"><p>{survey.name}</p><p class="small quiet">{factsOf(survey)}</p>{survey.source && <p class="small quiet">{survey.source}</p>}</div>
        <button type="button" class="switch" role="switch" aria-checked={survey.used} aria-label={`Use ${survey.name}`} disabled={saver.saving} onClick={turn}><span class="switch-track"><span /></span>{survey.used ? 'Used' : 'Not used'}</button>
      </div>
      <SetAsideList survey={survey} onShow={onShow} />
      {open ? <SurveyForm survey={survey} saver={saver} onDone={() => setOpen(false)} />
        : <button type="button" class="button plain survey-change" aria-label={`Level, name and note of ${survey.name}`} onClick={() => { saver.clear(); setOpen(true); }}>Level, name and note</button>}
    </li>
  );
}

export function SurveysPanel({ water, surveys, importing, onImporting, onRope, onShow }: {
  water: number; surveys: Survey[]; importing: boolean; onImporting: (open: boolean) => void; onRope: () => void; onShow: () => void;
}): JSX.Element {
  const saver = useSaver();
  return (
    <section class="block" aria-labelledby="surveys-title" id="surveys">
      <h2 id="surveys-title">Soundings</h2>
      {!surveys.length && <p class="quiet">None yet. Ten depths with a rope are a start; a log from an echo sounder with GPS, driven in lines, is best.</p>}
      <ul class="surveys">{surveys.map((survey) => <SurveyRow key={survey.id} survey={survey} saver={saver} onShow={onShow} />)}</ul>
      <SavedNote saver={saver} kept="The survey is as it was." />
      {importing ? <ImportForm water={water} onDone={() => onImporting(false)} />
        : <p class="acts"><button type="button" class="button" onClick={() => onImporting(true)}>Import soundings</button><button type="button" class="button" onClick={onRope}>Enter depths by rope</button></p>}
    </section>
  );
}
