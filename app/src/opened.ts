// SPDX-License-Identifier: Apache-2.0
// What each kind of figure says when it is opened.
import type { FigureInput, Opened } from './figure';
import { href } from './route';
import type { Amount, Choice, Cited, FactValue, Item, Latest, Material, Q, Sheet, WaterLine } from './types';
import { count } from './units';
import { activePrice, inputName, readable, sentence, subjectText } from './words';

export function openedCited(cited: Cited, water: string, waterId: number): Opened {
  return {
    title: `${sentence(inputName(cited.name))}, ${water}`,
    shown: cited.shown,
    what: cited.date ? 'As last read and written in the log.' : 'A fact kept with this water.',
    date: cited.date,
    quantity: cited.date ? cited.name : undefined,
    changes: cited.date ? 'A newer reading.' : 'Changing the fact on the page of this water.',
    link: { to: href('water', waterId), text: `All of ${water}` },
  };
}

function citedInputs(item: Item, water: string, waterId: number): FigureInput[] {
  const seen = new Set<string>();
  const rows: FigureInput[] = [];
  for (const reason of item.reasons) {
    for (const input of reason.inputs) {
      if (seen.has(input.name)) continue;
      seen.add(input.name);
      rows.push({ name: inputName(input.name), shown: input.shown, date: input.date, opens: openedCited(input, water, waterId) });
    }
  }
  return rows;
}

function rangeText(amount: Amount): string | undefined {
  if (!(amount.high > amount.low)) return undefined;
  return `From ${amount.low} to ${amount.high} ${amount.unit} can be right; the figure shown is ${amount.shown}.`;
}

export function openedAmount(item: Item, amount: Amount, water: string, waterId: number): Opened {
  const deciding = item.reasons.find((reason) => reason.decides);
  const inputs = citedInputs(item, water, waterId);
  const names = inputs.filter((input) => input.date).map((input) => input.name).slice(0, 3);
  return {
    title: `${subjectText(item.subject)}, ${water}`,
    shown: amount.shown,
    what: item.headline,
    method: amount.method,
    query: amount.query,
    inputs,
    source: deciding?.source,
    basis: deciding?.basis,
    range: rangeText(amount),
    changes: names.length ? `A newer reading of ${names.join(', ')}; another area, rate or material.` : 'Another area, rate or material.',
  };
}

export function openedClarity(line: WaterLine): Opened {
  return {
    title: `Clarity, ${line.name}`,
    shown: line.clarity?.shown ?? 'not read yet',
    what: `The depth at which the disk just disappears. The aim for this water is ${readable(line.aim_low.shown)} to ${readable(line.aim_high.shown)}; under ${readable(line.alarm.shown)} the water is too green.`,
    date: line.clarity?.date,
    quantity: 'secchi',
    inputs: [...line.clarity_history].reverse().slice(0, 5).map((one) => ({ name: 'disk', shown: one.shown, date: one.date })),
    changes: 'A newer disk reading.',
    link: { to: href('water', line.id), text: `All of ${line.name}` },
  };
}

export function openedLatest(latest: Latest, sheet: Sheet): Opened {
  const before = sheet.readings.filter((one) => one.quantity === latest.quantity && one.date <= latest.date);
  return {
    title: `${sentence(latest.label)}, ${sheet.name}`,
    shown: latest.shown,
    what: latest.fresh ? 'The last reading, recent enough to rely on.' : 'The last reading, too old to rely on: take it again.',
    date: latest.date,
    quantity: latest.quantity,
    inputs: before.slice(-6, -1).reverse().map((one) => ({ name: 'before', shown: one.shown, date: one.date })),
    changes: 'A newer reading.',
  };
}

interface Flow { value: number; shown: string; date: string | null }

/** The outflow that a retention was worked out from: the last reading, or the fact of the water. */
function outflowBehind(retention: Q, sheet: Sheet): Flow | null {
  const read = sheet.latest.find((one) => one.quantity === 'outflow');
  const fact = sheet.facts['outflow'];
  const known: Flow[] = [
    ...(read ? [{ value: read.value, shown: read.shown, date: read.date }] : []),
    ...(isQ(fact) ? [{ value: fact.value, shown: fact.shown, date: null }] : []),
  ];
  const volume = sheet.volume?.value ?? NaN;
  return known.find(({ value }) => Math.abs(volume / value / DAY_S / retention.value - 1) < 0.01) ?? null;
}

const DAY_S = 86400;

function isQ(value: FactValue | undefined): value is Q {
  return typeof value === 'object' && value !== null && typeof value['value' as keyof typeof value] === 'number' && 'shown' in value;
}

export type SizeName = 'area' | 'mean depth' | 'volume' | 'retention' | 'shoreline';

const SIZE_SAYS: Record<SizeName, (sheet: Sheet) => string> = {
  area: (sheet) => `The surface of the water${sheet.area_from ? `: ${sheet.area_from}` : ''}.`,
  'mean depth': () => 'Volume over area. Nobody can see it from the bank: sound the water and the doses get better.',
  volume: (sheet) => `What the water holds${sheet.volume_from ? `: ${sheet.volume_from}` : ''}.`,
  retention: () => 'How long water stays: volume over outflow. What is fed is washed out sooner where it is short.',
  shoreline: () => 'The length of the outline, islands included.',
};

function sizeInputs(name: SizeName, q: Q, sheet: Sheet): FigureInput[] {
  const row = (key: SizeName, value: Q | null): FigureInput[] => (value ? [{ name: key, shown: value.shown, opens: openedSize(key, value, sheet) }] : []);
  if (name === 'volume') return [...row('area', sheet.area), ...row('mean depth', sheet.mean_depth)];
  if (name !== 'retention') return [];
  const flow = outflowBehind(q, sheet);
  return [...row('volume', sheet.volume), ...(flow ? [{ name: 'outflow', shown: flow.shown, date: flow.date }] : [])];
}

export function openedSize(name: SizeName, q: Q, sheet: Sheet): Opened {
  const flow = name === 'retention' ? outflowBehind(q, sheet) : null;
  const formula = flow && sheet.volume
    ? { method: 'retention', query: new URLSearchParams({ volume: `${sheet.volume.value} ${sheet.volume.unit}`, outflow: `${flow.value} m3/s` }).toString() } : {};
  return {
    title: `${sentence(name)}, ${sheet.name}`, shown: q.shown, what: SIZE_SAYS[name](sheet), inputs: sizeInputs(name, q, sheet), ...formula,
    changes: name === 'area' ? 'An outline from a survey, or another figure entered on this page.' : 'Another area, depth or outflow entered on the page of this water.',
  };
}

export function openedChoice(choice: Choice, what: 'cost' | 'price'): Opened {
  const q = what === 'cost' ? choice.cost : choice.price_per_active;
  return {
    title: `${choice.material}: ${what === 'cost' ? 'cost of this dose' : `price of ${choice.active}`}`,
    shown: !q ? '' : what === 'cost' ? q.shown : activePrice(q, choice.active_per, choice.active),
    what: what === 'cost' ? 'Whole packages for this dose, at the price on the shelf.'
      : `What ${choice.active ?? 'the active part'} costs in this material: the fair way to compare materials that differ in strength.`,
    inputs: [
      { name: 'put out', shown: choice.shown },
      { name: 'grade', shown: choice.grade || 'none' },
      ...(choice.cost && what === 'price' ? [{ name: 'cost of the dose', shown: choice.cost.shown }] : []),
    ],
    changes: 'Another price on the shelf.',
    link: { to: '#/shelf', text: 'The shelf' },
  };
}

export function openedStock(material: Material): Opened {
  return {
    title: `${material.name}: left`,
    shown: material.left === null ? 'not counted' : count(material.left),
    what: 'Packages bought less packages used, from the lots and the treatments written down.',
    inputs: [
      { name: 'bought', shown: count(material.bought) },
      { name: 'used', shown: count(material.used) },
      ...material.lots.slice(-4).reverse().map((lot) => ({ name: 'lot', shown: count(lot.packages), date: lot.date })),
    ],
    changes: 'A lot bought or counted, or a treatment written down.',
  };
}

/** The price of what works in a material, by the registry's own method where it has one. */
export function openedActivePrice(material: Material): Opened {
  const active = material.active ?? 'the active part';
  const price = material.price_per_active;
  const asked = material.active === 'P2O5' && material.price && material.package?.unit === 'kg'
    ? { method: 'phosphorus-cost', query: new URLSearchParams({ price: String(material.price.value), package: `${material.package.value} kg`, grade: material.grade }).toString() } : {};
  return {
    title: `${material.name}: price of ${active}`, shown: price ? `${price.shown}/${material.active_per}` : '',
    what: `Price of a package over the ${active} in it, by the label: the fair way to compare materials that differ in strength. How much of it the water can use also differs with the form.`,
    inputs: [
      { name: 'price of a package', shown: material.price?.shown ?? 'no price' }, { name: 'package', shown: material.package?.shown ?? 'not told' },
      ...(material.grade ? [{ name: 'grade (N-P2O5-K2O, percent)', shown: material.grade }] : []),
      ...(material.density ? [{ name: 'density', shown: material.density.shown }] : []),
      ...(material.neutralizing_value ? [{ name: 'neutralizing value', shown: material.neutralizing_value.shown }] : []),
      ...(material.fineness ? [{ name: 'fineness', shown: material.fineness.shown }] : []),
    ],
    ...asked,
    changes: 'Another price or package.',
  };
}
