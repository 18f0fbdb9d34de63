// SPDX-License-Identifier: Apache-2.0
// Units on the page: how they are written for people, which ones a field offers, and the few
// conversions that drawing needs. What is entered goes to the server as typed.
import type { Quantity, Version } from './types';

const WRITTEN: Record<string, string> = {
  degF: '°F', degC: '°C', '1': '', 'ug/L': 'µg/L', m2: 'm²', m3: 'm³', 'm3/s': 'm³/s', degree: '°',
  'kg/m3': 'kg/m³', 'g/m2/day': 'g/m²/day', 'mg/m3': 'mg/m³', 'MJ/m2/day': 'MJ/m²/day',
};

export function unitText(unit: string | null): string {
  return unit === null ? '' : (WRITTEN[unit] ?? unit);
}

const FAMILIES: string[][] = [
  ['in', 'ft', 'cm'], ['cm', 'm', 'in'], ['degF', 'degC'], ['mg/L', 'ppm'], ['ug/L', 'ppb'], ['cfs', 'gpm', 'L/s', 'm3/s'],
];

/** The units offered for a quantity: the owner's first, then the others of its family. */
export function unitChoices(quantity: Quantity, version: Version | null): string[] {
  const own = version?.units === 'metric' ? quantity.metric_unit : quantity.us_unit;
  if (own === '1' || own === '') return [];
  const family = FAMILIES.find((list) => list[0] === own) ?? FAMILIES.find((list) => list.includes(own)) ?? [own];
  return [own, ...family.filter((unit) => unit !== own)].slice(0, 3);
}

/** Length units the rulers and charts are numbered in, as metres. */
const METRES: Record<string, number> = { in: 0.0254, ft: 0.3048, cm: 0.01, m: 1, mm: 0.001 };

/** The unit written at the end of "40 in"; 'm' when there is none that we can draw with. */
export function drawnUnit(shown: string | undefined): string {
  const unit = /([a-z]+)\s*$/.exec(shown ?? '')?.[1] ?? 'm';
  return unit in METRES ? unit : 'm';
}

export function fromMetres(metres: number, unit: string): number {
  return metres / (METRES[unit] ?? 1);
}

/** No false digits: three at most, none after a whole number that is large. */
export function plain(value: number): string {
  if (!Number.isFinite(value)) return '';
  const size = Math.abs(value);
  const digits = size >= 100 || Number.isInteger(value) ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3;
  return String(Number(value.toFixed(digits)));
}

/** Packages: halves matter, the dust of arithmetic does not. */
export function count(packages: number): string {
  return String(Number(packages.toFixed(1)));
}

/** Numbers from the registry: up to four figures, with a thin gap between thousands. */
export function registryNumber(value: number | string | Array<number | string>): string {
  if (Array.isArray(value)) return value.map(registryNumber).join(', ');
  if (typeof value === 'string') return value;
  if (!Number.isFinite(value)) return '';
  if (Number.isInteger(value)) return value.toLocaleString('en-US');
  const size = Math.abs(value);
  if (size !== 0 && size < 1e-4) return value.toExponential(3);
  return Number(value.toPrecision(size >= 1000 ? 6 : 4)).toLocaleString('en-US', { maximumFractionDigits: 8 });
}

/** A value in °C for drawing in the owner's unit. */
export function temperatureIn(celsius: number, unit: string): number {
  return unit === 'degF' ? celsius * 1.8 + 32 : celsius;
}
