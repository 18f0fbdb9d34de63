// SPDX-License-Identifier: Apache-2.0
// Figures of the map in the person's own units: the unit the server showed is the unit kept.
import type { Q } from '../types';
import { drawnUnit } from '../units';
import { readable } from '../words';

/** A unit as m, m2 or m3: exact (international foot and acre). */
const SI: Record<string, number> = {
  m: 1, cm: 0.01, ft: 0.3048, in: 0.0254,
  m2: 1, ha: 10000, ft2: 0.09290304, acre: 4046.8564224,
  m3: 1, 'acre-ft': 1233.48183754752, ft3: 0.028316846592, L: 0.001, gal: 0.003785411784,
};

/** The unit written in "266 acre-ft"; the value's own when it is none we know. */
export function unitOf(q: Q): string {
  const unit = /-?[\d.,]+\s*([A-Za-z][A-Za-z0-9-]*)/.exec(q.shown)?.[1] ?? q.unit;
  return unit in SI ? unit : q.unit;
}

export function inUnit(si: number, unit: string): number {
  return si / (SI[unit] ?? 1);
}

/** Three figures are as many as a lake is known to. */
function figures(value: number): string {
  if (value === 0) return '0';
  return Number(value.toPrecision(3)).toLocaleString('en-US', { maximumFractionDigits: 6, useGrouping: Math.abs(value) >= 10000 });
}

/** A figure as the server showed it, with two decimals at most: "0.000018 acre" is "under 0.01 acre". */
export function sayShown(shown: string): string {
  return readable(shown.replace(/(-?)(\d[\d,]*\.\d{3,})/g, (_, sign: string, digits: string) => {
    const value = Number(digits.replaceAll(',', ''));
    return value < 0.005 ? 'under 0.01' : `${sign}${value.toLocaleString('en-US', { maximumFractionDigits: 2, useGrouping: digits.includes(',') })}`;
  }));
}

/** How far the map is off where it was checked; a figure below a hair is no figure. */
export function sayMiss(q: Q): string {
  return Math.abs(q.value) < 0.0015 ? 'nothing to speak of' : sayShown(q.shown);
}

/** An area or volume given in SI. */
export function sayAmount(si: number, unit: string): string {
  return readable(`${figures(inUnit(si, unit))} ${unit}`);
}

export function sayRange(low: number, high: number, unit: string): string {
  return readable(`${figures(inUnit(low, unit))} to ${figures(inUnit(high, unit))} ${unit}`);
}

/** Depths are spoken in feet or metres, never in inches. */
export function depthUnit(q: Q): string {
  const unit = drawnUnit(q.shown);
  return unit === 'in' || unit === 'ft' ? 'ft' : 'm';
}

/** "9.4 ft", "2.9 m"; centimetres only where the error is smaller than a hand. */
export function sayDepth(metres: number, unit: string, error?: number | null): string {
  const digits = unit === 'm' && (error ?? 0) < 0.1 ? 2 : 1;
  return readable(`${inUnit(metres, unit).toFixed(digits)} ${unit}`);
}

/** "9.4 ft, give or take 0.6 ft". */
export function sayWithError(metres: number, error: number | null, unit: string): string {
  const depth = sayDepth(metres, unit, error);
  return error === null ? depth : `${depth}, give or take ${sayDepth(error, unit, error)}`;
}

export function sayDown(down: number, unit: string): string {
  return down < 0.001 ? 'full pool' : `${sayDepth(down, unit)} down`;
}
