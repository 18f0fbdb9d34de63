// SPDX-License-Identifier: Apache-2.0
// The page's words for things, in one place.
import { shortDay } from './dates';
import { version } from './live';
import type { Item, Verdict, WaterNow } from './types';
import { unitText } from './units';

export const VERDICT: Record<Verdict, string> = { do: 'Do', hold: 'Hold', ask: 'Ask' };

export function sentence(text: string): string {
  // 'pH' stays as it is written.
  return /^[a-z][A-Z]/.test(text) ? text : text.charAt(0).toUpperCase() + text.slice(1);
}

/** A subject as part of an address. */
export function slug(text: string): string {
  return text.toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '');
}

export const SPACE = '\u00a0';
/** Keeps a grade such as 12-48-8 on one line. */
const JOIN = '\u2060';

/** A server's text written for people: "68 degF" -> "68 °F", "38 acre" -> "38 acres", "2026-04-15" ->
 * "15 Apr", "5 x 50 lb" -> "5 × 50 lb"; a number and its unit stay on one line. */
export function readable(shown: string): string {
  return shown
    .replace(/\b\d{4}-\d\d-\d\d\b/g, (day) => shortDay(day, version.get()?.today))
    .replace(/(\d)\s*(degF|degC|ug\/L|m2|m3)\b/g, (_, digit: string, unit: string) => `${digit}${SPACE}${unitText(unit)}`)
    .replace(/\b([\d.,]+) (acre|ton|day|package|sack)\b(?![-s/])/g, (_, number: string, unit: string) => `${number}${SPACE}${unit}${number === '1' ? '' : 's'}`)
    .replace(/(\d) (in|ft|cm|mm|m|lb|kg|mg\/L|gal|L|ha|days|acre-ft|mph|cfs|sacks|packages)\b/g, `$1${SPACE}$2`)
    .replace(/(\d) x (?=[\da-z])/g, `$1${SPACE}×${SPACE}`)
    .replace(/\b(\d+)-(\d+)-(\d+)\b/g, `$1-${JOIN}$2-${JOIN}$3`)
    .replace(/^brown-mud$/, 'brown mud');
}

const INPUT: Record<string, string> = { secchi: 'disk depth', 'water-color': 'colour', 'mud-ph': 'mud pH', 'buffer-ph': 'mud buffer pH', ph: 'pH' };

/** The name of an input of a rule, for people. */
export function inputName(name: string): string {
  return INPUT[name] ?? name.replace(/[-_]/g, ' ');
}

/** The verdict's sentence, with the deciding reason behind it where the headline is only the act. */
export function because(item: Item): string {
  const reason = item.reasons.find((one) => one.decides)?.text ?? '';
  const spoken = item.headline.trim();
  if (item.verdict !== 'do' || !reason || spoken.includes(reason.replace(/\.$/, ''))) return readable(spoken);
  return readable(`${/[.!?]$/.test(spoken) ? spoken : `${spoken}.`} ${sentence(reason)}`);
}

export function plural(count: number, one: string, many = one + 's'): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** A hold that asks nothing of anybody and does not warn: folded away on Today. */
export function isQuiet(item: Item): boolean {
  return item.verdict === 'hold' && item.urgency > 1 && item.cautions.length === 0;
}

const WEIGHT: Record<Verdict, number> = { do: 0, ask: 1, hold: 2 };

/** Among equals the bloom speaks first; the shelf and the list of what to measure come after the water. */
const SUBJECTS = ['feeding the bloom', 'lime', 'oxygen', 'too-green water', 'weeds', 'missing measurements', 'stock on the shelf'];

function rank(item: Item | undefined): number {
  if (!item) return 99;
  const at = SUBJECTS.indexOf(item.subject);
  const tie = (at < 0 ? SUBJECTS.length : at) / 20;
  if (item.verdict === 'hold') return 30 + item.urgency + tie;
  return item.urgency * 3 + WEIGHT[item.verdict] + tie + (at >= 5 ? 10 : 0);
}

/** Questions that the leading question's own measurement would settle too. */
export function settledBy(lead: Item | undefined, item: Item): boolean {
  return lead !== undefined && lead !== item && lead.verdict === 'ask' && item.verdict === 'ask' && lead.measure !== null && item.measure === lead.measure;
}

/** What leads for one water: what kills fish, what cannot wait, the rest; acts before questions. */
export function inOrder(items: Item[]): Item[] {
  return items.map((item, at) => ({ item, at })).sort((a, b) => rank(a.item) - rank(b.item) || a.at - b.at).map(({ item }) => item);
}

export function watersInOrder(waters: WaterNow[]): WaterNow[] {
  return waters.map((water, at) => ({ water, at, first: inOrder(water.items)[0] }))
    .sort((a, b) => rank(a.first) - rank(b.first) || a.at - b.at).map(({ water }) => water);
}

const SUBJECT: Record<string, string> = {
  'feeding the bloom': 'Feeding the bloom', lime: 'Lime', 'too-green water': 'Too-green water', weeds: 'Weeds',
  'missing measurements': 'Missing measurements', 'stock on the shelf': 'Stock on the shelf', oxygen: 'Oxygen',
};

export function subjectText(subject: string): string {
  return SUBJECT[subject] ?? sentence(subject);
}

const BASIS: Record<string, string> = {
  read: 'read in the source', memory: 'from memory, not checked against the source',
  'common practice': 'common practice, no source', computed: 'worked out from a published formula',
};

export function basisText(basis: string): string {
  return BASIS[basis] ?? basis;
}

/** "$1.75/lb of P2O5". */
export function activePrice(price: { shown: string }, per: string, active: string | null): string {
  return `${price.shown}/${per}${active ? ` of ${active}` : ''}`;
}

const FORM: Record<string, string> = {
  liquid: 'liquid', 'soluble-powder': 'soluble powder', 'controlled-release': 'slow-release prills', granular: 'granular',
  ground: 'ground', hydrated: 'hydrated (caustic)', other: 'other',
};

export function formText(form: string): string {
  return FORM[form] ?? form;
}
