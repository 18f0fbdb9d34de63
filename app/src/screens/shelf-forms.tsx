// SPDX-License-Identifier: Apache-2.0
// Forms of the shelf: a material (new or changed) and a lot bought or counted.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Fault } from '../api';
import { useCell } from '../cell';
import { version } from '../live';
import { asFault, Chips, Field, Refused } from '../parts';
import { send } from '../queue';
import type { Material } from '../types';
import { formText } from '../words';

const KINDS = ['fertilizer', 'lime', 'other'];
const FORMS: Record<string, string[]> = {
  fertilizer: ['soluble-powder', 'liquid', 'granular', 'controlled-release'], lime: ['ground', 'hydrated'], other: ['other', 'liquid', 'granular'],
};

type Typed = Record<string, string>;

function startOf(material: Material | undefined): Typed {
  if (!material) return { kind: 'fertilizer', form: 'soluble-powder' };
  return {
    name: material.name, kind: material.kind, form: material.form, grade: material.grade,
    package: material.package?.shown ?? '', density: material.density?.shown ?? '',
    neutralizing_value: material.neutralizing_value?.shown ?? '', fineness: material.fineness?.shown ?? '', price: material.price ? String(material.price.value) : '',
  };
}

export function MaterialForm({ material, onDone }: { material?: Material; onDone: () => void }): JSX.Element {
  const metric = useCell(version)?.units === 'metric';
  const [typed, setTyped] = useState<Typed>(() => startOf(material));
  const [fault, setFault] = useState<Fault | null>(null);
  const set = (key: string) => (value: string): void => setTyped((before) => ({ ...before, [key]: value }));
  const text = (key: string, label: string, hint?: string): JSX.Element => (
    <Field label={label} {...(hint ? { hint } : {})}>
      <input type="text" value={typed[key] ?? ''} autocomplete="off" required={key === 'name' || key === 'package'} onInput={(event) => set(key)(event.currentTarget.value)} />
    </Field>
  );
  const kind = typed['kind'] ?? 'fertilizer';
  const liquid = typed['form'] === 'liquid';
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    setFault(null);
    const before = startOf(material);
    const changed = Object.fromEntries(Object.entries(typed).filter(([key, value]) => (material ? value !== before[key] : value.trim() !== ''))
      .map(([key, value]) => [key, value.trim() === '' ? null : value.trim()]));
    try {
      await send(material ? 'PATCH' : 'POST', material ? `/materials/${material.id}` : '/materials', changed, `material ${typed['name'] ?? ''}`);
      onDone();
    } catch (error) { setFault(asFault(error)); }
  };
  const chooseKind = (value: string): void => setTyped((before) => ({ ...before, kind: value, form: FORMS[value]?.[0] ?? 'other' }));
  return (
    <form class="form inset" onSubmit={save}>
      {text('name', 'Name', 'by grade or substance, for example: powder 12-48-8')}
      <fieldset class="field field-wide"><legend class="field-label">Kind</legend><Chips label="Kind" small options={KINDS.map((value) => ({ value, text: value }))} chosen={kind} onChoose={chooseKind} /></fieldset>
      <fieldset class="field field-wide"><legend class="field-label">Form</legend><Chips label="Form" small options={(FORMS[kind] ?? []).map((value) => ({ value, text: formText(value) }))} chosen={typed['form'] ?? ''} onChoose={set('form')} /></fieldset>
      {kind === 'fertilizer' && text('grade', 'Grade', 'three numbers on the label: 12-48-8')}
      {text('package', 'Package', liquid ? (metric ? '10 L' : '1 gal') : (metric ? '25 kg' : '50 lb'))}
      {liquid && text('density', 'Density, from the label', metric ? '1.4 kg/L' : '11.65 lb/gal')}
      {kind === 'lime' && text('neutralizing_value', 'Neutralizing value', '95 %')}
      {kind === 'lime' && text('fineness', 'Fineness', '80 %')}
      {text('price', 'Price of one package')}
      <Refused fault={fault} kept="What you typed is still here." />
      <p class="acts"><button class="button strong" type="submit">{material ? 'Save' : 'Put it on the shelf'}</button><button class="button" type="button" onClick={onDone}>Leave it</button>
        {material && <RemoveMaterial material={material} onFault={setFault} onDone={onDone} />}</p>
    </form>
  );
}

function RemoveMaterial({ material, onFault, onDone }: { material: Material; onFault: (fault: Fault) => void; onDone: () => void }): JSX.Element {
  const remove = async (): Promise<void> => {
    try { await send('DELETE', `/materials/${material.id}`, {}, `take ${material.name} off the shelf`); onDone(); } catch (error) { onFault(asFault(error)); }
  };
  return <button class="button plain" type="button" onClick={() => void remove()}>Take it off the shelf</button>;
}

export function LotForm({ material, onDone }: { material: Material; onDone: () => void }): JSX.Element {
  const known = useCell(version);
  const [packages, setPackages] = useState('');
  const [price, setPrice] = useState(material.price ? String(material.price.value) : '');
  const [day, setDay] = useState(known?.today ?? '');
  const [note, setNote] = useState('');
  const [fault, setFault] = useState<Fault | null>(null);
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    setFault(null);
    const body = { material: material.id, packages: packages.trim(), ...(price.trim() ? { price: price.trim() } : {}), ...(day ? { on: day } : {}), ...(note.trim() ? { note: note.trim() } : {}) };
    try {
      await send('POST', '/lots', body, `${packages.trim()} × ${material.name}`);
      onDone();
    } catch (error) { setFault(asFault(error)); }
  };
  return (
    <form class="form inset" onSubmit={save}>
      <Field label="Packages" hint="a minus takes off what is lost or spoilt"><input type="text" inputMode="text" value={packages} required autocomplete="off" onInput={(event) => setPackages(event.currentTarget.value)} /></Field>
      <Field label={`Price of one${known ? `, ${known.money}` : ''}`}><input type="text" inputMode="decimal" value={price} autocomplete="off" onInput={(event) => setPrice(event.currentTarget.value)} /></Field>
      <Field label="Day"><input type="date" value={day} max={known?.today} onInput={(event) => setDay(event.currentTarget.value)} /></Field>
      <Field label="Remark"><input type="text" value={note} autocomplete="off" onInput={(event) => setNote(event.currentTarget.value)} /></Field>
      <Refused fault={fault} kept="What you typed is still here." />
      <p class="acts"><button class="button strong" type="submit">Save</button><button class="button" type="button" onClick={onDone}>Leave it</button></p>
    </form>
  );
}
