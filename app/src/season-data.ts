// SPDX-License-Identifier: Apache-2.0
// From a water's sheet to what its season charts draw, and the finding in one sentence.
import type { Strand } from './chart';
import { daySpan, type Point, type Span } from './chart-scale';
import { serial, shortDay } from './dates';
import type { Reading, Sheet } from './types';
import { drawnUnit, fromMetres, temperatureIn } from './units';
import { plural, readable } from './words';

function pointsOf(readings: Reading[], quantity: string, convert: (value: number) => number): Point[] {
  return readings.filter((one) => one.quantity === quantity && (one.depth === null || one.depth.value <= 1))
    .map((one) => ({ day: serial(one.date), value: convert(one.value), shown: one.shown }))
    .sort((a, b) => a.day - b.day);
}

function place(value: number, low: number, high: number): string {
  return value > high ? 'deeper than the aim' : value < low ? 'shallower than the aim' : 'inside the aim';
}

function dosesSaid(sheet: Sheet, today: string): string {
  const year = sheet.treatments.filter((one) => serial(one.date) >= serial(today) - 366 && one.purpose === 'feed');
  const last = year[year.length - 1];
  return last ? ` Fed ${plural(year.length, 'time')} in the year behind, last on ${shortDay(last.date, today)}.` : '';
}

export function clarityFinding(sheet: Sheet, today: string): string {
  const disk = sheet.readings.filter((one) => one.quantity === 'secchi');
  const last = disk[disk.length - 1];
  const aim = `aim ${readable(sheet.aim.low.shown)} to ${readable(sheet.aim.high.shown)}`;
  if (!last) return `The disk has not been read here yet; ${aim}.`;
  const where = place(last.value, sheet.aim.low.value, sheet.aim.high.value);
  const before = disk[disk.length - 2];
  const change = !before || before.value === last.value ? '' : last.value > before.value
    ? `, clearing from ${readable(before.shown)} on ${shortDay(before.date, today)}` : `, greener than ${readable(before.shown)} on ${shortDay(before.date, today)}`;
  return `The disk was at ${readable(last.shown)} on ${shortDay(last.date, today)}, ${where}${change}; ${aim}.${dosesSaid(sheet, today)}`;
}

export function seasonOf(sheet: Sheet, today: string, alkalinityLeast: number | null): { strands: Strand[]; span: Span; finding: string } {
  const yearAgo = serial(today) - 366;
  const recent = sheet.readings.filter((one) => !(serial(one.date) < yearAgo));
  const depthUnit = drawnUnit(sheet.aim.high.shown);
  const disk = pointsOf(recent, 'secchi', (value) => fromMetres(value, depthUnit));
  const alkalinity = pointsOf(recent, 'alkalinity', (value) => value);
  const warmUnit = recent.find((one) => one.quantity === 'temperature')?.shown.includes('F') ? 'degF' : 'degC';
  const temperature = pointsOf(recent, 'temperature', (value) => temperatureIn(value, warmUnit));
  const treatments = sheet.treatments.filter((one) => !(serial(one.date) < yearAgo));
  const strands: Strand[] = [];
  if (disk.length || treatments.length) {
    strands.push({
      title: 'disk depth', unit: depthUnit, points: disk, height: 270, direction: 'down',
      band: { low: fromMetres(sheet.aim.low.value, depthUnit), high: fromMetres(sheet.aim.high.value, depthUnit), text: 'aim' },
      doses: treatments.map((one) => ({ day: serial(one.date), shown: one.shown, material: one.material })),
    });
  }
  if (alkalinity.length) strands.push({ title: 'alkalinity', unit: 'mg/L', points: alkalinity, height: 112, direction: 'up',
      least: alkalinityLeast === null ? undefined : { value: alkalinityLeast, text: `lime below ${alkalinityLeast}` } });
  if (temperature.length) strands.push({ title: 'temperature', unit: warmUnit === 'degF' ? '°F' : '°C', points: temperature, height: 112, direction: 'up' });
  const span = daySpan([...recent.map((one) => one.date), ...treatments.map((one) => one.date)], today);
  return { strands, span, finding: clarityFinding(sheet, today) };
}
