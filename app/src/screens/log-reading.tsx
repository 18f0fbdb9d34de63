// SPDX-License-Identifier: Apache-2.0
// A reading: which water, what, the number.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { useCell } from '../cell';
import { useGet, version } from '../live';
import { Chips, Field, NotYet, Refused } from '../parts';
import { recall, remember, writer } from '../prefs';
import type { Quantities, Quantity } from '../types';
import { unitChoices } from '../units';
import { sentence } from '../words';
import type { FormProps } from './log';
import { DayField, NumberField, WaterField, withUnit } from './log-fields';

const OFTEN = ['secchi', 'water-color', 'temperature', 'oxygen', 'alkalinity', 'weed-cover'];
const SHORT: Record<string, string> = { secchi: 'Disk', 'water-color': 'Colour', temperature: 'Temperature', oxygen: 'Oxygen', alkalinity: 'Alkalinity', 'weed-cover': 'Weeds' };

export function ReadingForm(props: FormProps): JSX.Element {
  const { data, fault } = useGet<Quantities>('/quantities');
  const asked = props.query.get('what');
  const [what, setWhat] = useState(asked ?? 'secchi');
  if (!data) return <NotYet fault={fault} what="the form" />;
  const quantity = data.quantities.find((one) => one.name === what) ?? data.quantities[0];
  if (!quantity) return <NotYet fault={undefined} what="the form" />;
  return (
    <>
      <WaterField waters={props.waters} water={props.water} onWater={props.onWater} />
      <WhatField quantities={data.quantities} what={quantity.name} onWhat={setWhat} />
      <ValueForm key={quantity.name} {...props} quantity={quantity} />
    </>
  );
}

function WhatField({ quantities, what, onWhat }: { quantities: Quantity[]; what: string; onWhat: (what: string) => void }): JSX.Element {
  const often = quantities.filter((one) => OFTEN.includes(one.name)).sort((a, b) => OFTEN.indexOf(a.name) - OFTEN.indexOf(b.name));
  const rest = quantities.filter((one) => !OFTEN.includes(one.name));
  const inRest = rest.some((one) => one.name === what);
  return (
    <Chips label="What was measured" options={often.map((one) => ({ value: one.name, text: SHORT[one.name] ?? sentence(one.label) }))} chosen={what} onChoose={onWhat}>
      <select class={inRest ? 'chip what-more chip-on' : 'chip what-more'} aria-label="Something else measured" value={inRest ? what : ''} onChange={(event) => { if (event.currentTarget.value) onWhat(event.currentTarget.value); }}>
        <option value="">Other</option>
        {rest.map((one) => <option key={one.name} value={one.name}>{sentence(one.label)}</option>)}
      </select>
    </Chips>
  );
}

function ValueForm(props: FormProps & { quantity: Quantity }): JSX.Element {
  const { quantity } = props;
  const known = useCell(version);
  const units = unitChoices(quantity, known);
  const [unit, setUnit] = useState(() => {
    const kept = recall(`unit.${quantity.name}`);
    return kept && units.includes(kept) ? kept : (units[0] ?? '');
  });
  const [value, setValue] = useState('');
  const [day, setDay] = useState(known?.today ?? '');
  const [depth, setDepth] = useState('');
  const [note, setNote] = useState('');
  const [busy, setBusy] = useState(false);
  useEffect(() => { if (!day && known) setDay(known.today); }, [known?.today]);
  useEffect(() => { if (props.putBack !== null) setValue(props.putBack); }, [props.putBack]);
  const name = props.waters.find((one) => one.id === props.water)?.name ?? '';

  const chooseUnit = (one: string): void => { setUnit(one); remember(`unit.${quantity.name}`, one); };
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (busy || !value.trim()) return;
    setBusy(true);
    const text = quantity.choices ? value : withUnit(value, unit);
    const by = writer.get();
    const body = {
      water: props.water, quantity: quantity.name, value: text, ...(day ? { on: day } : {}),
      ...(depth.trim() ? { depth: depth.trim() } : {}), ...(note.trim() ? { note: note.trim() } : {}), ...(by ? { by } : {}),
    };
    if (await props.save('/readings', body, `${name}: ${quantity.label} ${text} on ${day}`, value)) { setValue(''); setDepth(''); setNote(''); }
    setBusy(false);
  };
  return (
    <form class="form" onSubmit={save}>
      {quantity.choices
        ? <Chips label={quantity.label} options={quantity.choices.map((one) => ({ value: one, text: sentence(one.replace(/-/g, ' ')) }))} chosen={value} onChoose={setValue} />
        : <NumberField label={sentence(quantity.label)} value={value} onValue={setValue} units={units} unit={unit} onUnit={chooseUnit}
            signed={quantity.name === 'level'} invalid={props.fault !== null} />}
      <DayField day={day} onDay={setDay} />
      <Refused fault={props.fault} kept="What you typed is still in the form. Mend it and save again." />
      <button class="button strong big" type="submit" disabled={busy || !value.trim()}>Save</button>
      <details class="folded">
        <summary><span>How it is taken; depth; a remark</span></summary>
        <p>{quantity.how}</p>
        {!quantity.choices && <Field label="Depth of the probe (empty: near the surface)"><input type="text" value={depth} autocomplete="off" onInput={(event) => setDepth(event.currentTarget.value)} /></Field>}
        <Field label="Remark" wide><input type="text" value={note} autocomplete="off" onInput={(event) => setNote(event.currentTarget.value)} /></Field>
      </details>
    </form>
  );
}
