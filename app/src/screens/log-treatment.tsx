// SPDX-License-Identifier: Apache-2.0
// What was put out: which water, which material, how much.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { useCell } from '../cell';
import { useGet, version } from '../live';
import { Chips, Empty, Field, NotYet, Refused } from '../parts';
import { recall, remember, writer } from '../prefs';
import type { Material, Shelf } from '../types';
import type { FormProps } from './log';
import { DayField, NumberField, WaterField, withUnit } from './log-fields';

const PURPOSES = [{ value: 'feed', text: 'Feed the bloom' }, { value: 'lime', text: 'Lime' }, { value: 'weed', text: 'Against weeds' }, { value: 'other', text: 'Other' }];

function unitsFor(material: Material, metric: boolean): string[] {
  const packages = material.package ? ['packages'] : [];
  if (material.form === 'liquid') return [...packages, ...(metric ? ['L', 'kg'] : ['gal', 'lb'])];
  return [...packages, ...(metric ? ['kg', 't'] : ['lb', 'ton'])];
}

function purposeOf(material: Material): string {
  return material.kind === 'lime' ? 'lime' : material.kind === 'fertilizer' ? 'feed' : 'other';
}

export function TreatmentForm(props: FormProps): JSX.Element {
  const { data, fault } = useGet<Shelf>('/shelf');
  const [chosen, setChosen] = useState<number | null>(null);
  if (!data) return <NotYet fault={fault} what="the shelf" />;
  if (!data.materials.length) {
    return <Empty title="No material yet"><p>Put what you have on the shelf first: grade, package and price from the label.</p><a class="button strong" href="#/shelf">To the shelf</a></Empty>;
  }
  const asked = props.query.get('material') ?? recall('material');
  const material = data.materials.find((one) => one.id === chosen) ?? data.materials.find((one) => one.name === asked) ?? data.materials[0];
  if (!material) return <NotYet fault={undefined} what="the shelf" />;
  return (
    <>
      <WaterField waters={props.waters} water={props.water} onWater={props.onWater} />
      <Chips label="Which material" even options={data.materials.map(({ id, name }) => ({ value: id, text: name }))} chosen={material.id} onChoose={setChosen} />
      <AmountForm key={material.id} {...props} material={material} />
    </>
  );
}

function AmountForm(props: FormProps & { material: Material }): JSX.Element {
  const { material } = props;
  const known = useCell(version);
  const units = unitsFor(material, known?.units === 'metric');
  const [unit, setUnit] = useState(() => {
    const kept = recall(`unit.put-out.${material.form}`);
    return kept && units.includes(kept) && !props.query.get('amount') ? kept : (units[0] ?? '');
  });
  const [amount, setAmount] = useState(props.query.get('material') === material.name ? (props.query.get('amount') ?? '') : '');
  const [purpose, setPurpose] = useState(props.query.get('purpose') ?? purposeOf(material));
  const [day, setDay] = useState(known?.today ?? '');
  const [conditions, setConditions] = useState('');
  const [busy, setBusy] = useState(false);
  useEffect(() => { if (!day && known) setDay(known.today); }, [known?.today]);
  useEffect(() => { if (props.putBack !== null) setAmount(props.putBack); }, [props.putBack]);
  const name = props.waters.find((one) => one.id === props.water)?.name ?? '';
  const chooseUnit = (one: string): void => { setUnit(one); remember(`unit.put-out.${material.form}`, one); };
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (busy || !amount.trim()) return;
    setBusy(true);
    const text = withUnit(amount, unit);
    const by = writer.get();
    const body = {
      water: props.water, material: material.id, amount: text, purpose, ...(day ? { on: day } : {}),
      ...(conditions.trim() ? { conditions: conditions.trim() } : {}), ...(by ? { by } : {}),
    };
    remember('material', material.name);
    if (await props.save('/treatments', body, `${name}: ${text} of ${material.name} on ${day}`, amount)) { setAmount(''); setConditions(''); }
    setBusy(false);
  };
  return (
    <form class="form" onSubmit={save}>
      <NumberField label={`How much${material.package ? ` (a package is ${material.package.shown})` : ''}`} value={amount} onValue={setAmount}
        units={units} unit={unit} onUnit={chooseUnit} invalid={props.fault !== null} />
      <DayField day={day} onDay={setDay} />
      <Refused fault={props.fault} kept="What you typed is still in the form. Mend it and save again." />
      <button class="button strong big" type="submit" disabled={busy || !amount.trim()}>Save</button>
      <Chips label="What for" small options={PURPOSES} chosen={purpose} onChoose={setPurpose} />
      <Field label="Wind, rain, how it was put out" wide><input type="text" value={conditions} autocomplete="off" onInput={(event) => setConditions(event.currentTarget.value)} /></Field>
    </form>
  );
}
