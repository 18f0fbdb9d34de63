// SPDX-License-Identifier: Apache-2.0
// Shelf: what have we got, what to buy.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Fault } from '../api';
import { dayName, shortDay } from '../dates';
import { Figure } from '../figure';
import { useGet, version } from '../live';
import { openedActivePrice, openedStock } from '../opened';
import { asFault, Empty, Name, NotYet, Refused } from '../parts';
import { send } from '../queue';
import type { Buy, Lot, Material, Shelf } from '../types';
import { count } from '../units';
import { formText, plural, readable } from '../words';
import { LotForm, MaterialForm } from './shelf-forms';

function LotLine({ lot, material, today }: { lot: Lot; material: Material; today: string }): JSX.Element {
  const [fault, setFault] = useState<Fault | null>(null);
  const said = `${count(lot.packages)} of ${material.name}, ${shortDay(lot.date, today)}`;
  const remove = async (): Promise<void> => {
    try { await send('DELETE', `/lots/${lot.id}`, {}, `take back lot: ${said}`); } catch (error) { setFault(asFault(error)); }
  };
  return (
    <li class="record">
      <div class="record-text">
        <p>{plural(lot.packages, 'package')}{lot.price ? ` at ${lot.price.shown}` : ''}</p>
        <p class="small quiet">{[shortDay(lot.date, today), lot.note].filter(Boolean).join(' · ')}</p>
        <Refused fault={fault} kept="The lot is still there." />
      </div>
      <button type="button" class="button plain" aria-label={`Take back: ${said}`} onClick={() => void remove()}>Take back</button>
    </li>
  );
}

function ActivePrice({ material, cheapest }: { material: Material; cheapest: boolean }): JSX.Element | null {
  if (!material.price_per_active) return null;
  return <span class="small"><Figure of={openedActivePrice(material)} /> of {material.active}{cheapest && <span class="tag tag-after">cheapest</span>}</span>;
}

function MaterialView({ material, cheapest, today }: { material: Material; cheapest: boolean; today: string }): JSX.Element {
  const [adding, setAdding] = useState<'lot' | 'change' | null>(null);
  const toggle = (what: 'lot' | 'change'): void => setAdding(adding === what ? null : what);
  const left = material.left;
  return (
    <li class="material">
      <div class="material-head">
        <h3><Name of={material.name} /></h3>
        <p class="small quiet">{[formText(material.form), material.grade].filter((word) => word && !material.name.includes(word)).concat(material.package ? [`${material.package.shown} a package`] : []).join(' · ')}</p>
      </div>
      <p class={`material-left${left !== null && left < 0 ? ' wrong' : ''}`}>
        {left === null ? <span class="answer quiet">–</span> : <Figure big of={openedStock(material)}>{count(left)}</Figure>}
        <span class="small quiet">{left === null ? 'not counted' : 'left'}</span>
      </p>
      <p class="material-facts">
        {material.enough_until ? <strong>{material.enough_until <= today ? 'Short today' : `Enough until ${dayName(material.enough_until, today)}`}</strong> : <span class="quiet">{left === null ? 'Count it, and the page can say how long it lasts' : 'No use for it in sight'}</span>}
        <span class="small quiet">{material.price ? `${material.price.shown} a package` : 'no price yet'}</span>
        <ActivePrice material={material} cheapest={cheapest} />
      </p>
      {left !== null && left < 0 && <p class="small">More was put out than was ever bought: a lot is missing, or a treatment was written down twice.</p>}
      <details class="folded">
        <summary><span>Buy, count, change</span></summary>
        <p class="acts">
          <button type="button" class="button" aria-expanded={adding === 'lot'} onClick={() => toggle('lot')}>Bought or counted</button>
          <button type="button" class="button" aria-expanded={adding === 'change'} onClick={() => toggle('change')}>Change</button>
        </p>
        {adding === 'lot' && <LotForm material={material} onDone={() => setAdding(null)} />}
        {adding === 'change' && <MaterialForm material={material} onDone={() => setAdding(null)} />}
        <ul class="records" aria-label={`Lots of ${material.name}: ${count(material.bought)} bought, ${count(material.used)} used`}>
          {[...material.lots].reverse().map((lot) => <LotLine key={lot.id} lot={lot} material={material} today={today} />)}
        </ul>
      </details>
    </li>
  );
}

function BuyList({ buy, today }: { buy: Buy[]; today: string }): JSX.Element {
  if (!buy.length) return <p class="quiet">Nothing to buy for what is in sight.</p>;
  return (
    <ul class="records">
      {buy.map((one) => (
        <li class="record" key={one.material}>
          <div class="record-text"><p><strong>{count(one.packages)} × <Name of={one.material} /></strong></p><p class="small">{one.by ? (one.by <= today ? 'now, ' : `by ${dayName(one.by, today)}, `) : ''}{readable(one.why)}</p></div>
          <span class="record-figure">{one.cost?.shown ?? ''}</span>
        </li>
      ))}
    </ul>
  );
}

/** The least price of its active part, where there is another to compare with. */
function isCheapest(material: Material, all: Material[]): boolean {
  const rivals = all.filter((one) => one.active === material.active && one.price_per_active !== null);
  const price = material.price_per_active?.value;
  return price !== undefined && rivals.length > 1 && rivals.every((one) => price <= (one.price_per_active?.value ?? Infinity));
}

export function ShelfScreen(): JSX.Element {
  const { data, fault } = useGet<Shelf>('/shelf');
  const [adding, setAdding] = useState(false);
  const today = version.get()?.today ?? '';
  if (!data) return <NotYet fault={fault} what="the shelf" />;
  return (
    <div class="two">
      <section class="col" aria-label="On the shelf">
        <header class="screen-head"><h1>Shelf</h1><p class="phone-only">{data.buy.length ? `To buy: ${data.buy.map((one) => readable(`${count(one.packages)} x ${one.material}`)).join('; ')}.` : 'Nothing to buy for what is in sight.'}</p></header>
        {data.materials.length === 0 && (
          <Empty title="The shelf is empty"><p>Write down what you have or can buy: the grade from the label, the package, the price. Then the page works in your sacks and gallons.</p></Empty>
        )}
        <ul class="materials">
          {data.materials.map((material) => <MaterialView key={material.id} material={material} cheapest={isCheapest(material, data.materials)} today={today} />)}
        </ul>
        {adding ? <MaterialForm onDone={() => setAdding(false)} /> : <button type="button" class="button strong" onClick={() => setAdding(true)}>Add a material</button>}
      </section>
      <section class="col" aria-label="To buy"><h2>To buy</h2><BuyList buy={data.buy} today={today} /></section>
    </div>
  );
}
