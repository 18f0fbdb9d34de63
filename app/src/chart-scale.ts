// SPDX-License-Identifier: Apache-2.0
// Scales and ticks for the season charts. Depth axes run downward: deeper is lower.
import { fromSerial, monthName, serial } from './dates';
import type { Day } from './types';

export interface Span { from: number; to: number }

/** A span of days that holds all of these, with a little air at the end. */
export function daySpan(days: Day[], today: Day): Span {
  const all = [...days, today].map(serial).filter((day) => !Number.isNaN(day));
  const first = Math.min(...all);
  const last = Math.max(...all);
  const air = Math.max(4, Math.round((last - first) * 0.04));
  return { from: Math.min(first - Math.ceil(air / 2), last - 45), to: last + air };
}

export interface DayTick { at: number; text: string }

/** First days of months, thinned so that the names do not touch. */
export function monthTicks(span: Span, width: number): DayTick[] {
  const ticks: DayTick[] = [];
  const room = Math.max(2, Math.floor(width / 56));
  const months = (span.to - span.from) / 30.4;
  const every = Math.max(1, Math.ceil(months / room));
  let day = fromSerial(span.from);
  let count = 0;
  for (;;) {
    const [year, month] = day.split('-').map(Number) as [number, number];
    day = `${month === 12 ? year + 1 : year}-${String(month === 12 ? 1 : month + 1).padStart(2, '0')}-01`;
    const at = serial(day);
    if (at > span.to) break;
    if (count++ % every === 0) ticks.push({ at, text: day.endsWith('-01-01') ? day.slice(0, 4) : monthName(day) });
  }
  return ticks;
}

/** Round ticks from low to high, at most `most` of them. */
export function valueTicks(low: number, high: number, most: number): number[] {
  const range = Math.max(high - low, 1e-9);
  const raw = range / Math.max(1, most);
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 2.5, 5, 10].map((one) => one * power).find((one) => one >= raw) ?? raw;
  const ticks: number[] = [];
  for (let value = Math.ceil(low / step) * step; value <= high + step * 1e-6; value += step) ticks.push(Number(value.toPrecision(10)));
  return ticks;
}

/** Inches want twelves and sixes, not tens. */
export function depthTicks(high: number, unit: string, most: number): number[] {
  if (unit !== 'in') return valueTicks(0, high, most);
  const step = [3, 6, 12, 24, 48].find((one) => high / one <= most) ?? 96;
  return Array.from({ length: Math.floor(high / step) + 1 }, (_, at) => at * step);
}

export interface Point { day: number; value: number; shown: string }

/** Runs of readings with no long gap between them: gaps in data stay gaps. */
export function runs(points: Point[], gapDays: number): Point[][] {
  const out: Point[][] = [];
  for (const point of points) {
    const last = out[out.length - 1];
    const before = last?.[last.length - 1];
    if (last && before && point.day - before.day <= gapDays) last.push(point);
    else out.push([point]);
  }
  return out;
}

export function nearest(points: Point[], day: number): Point | null {
  let best: Point | null = null;
  for (const point of points) if (!best || Math.abs(point.day - day) < Math.abs(best.day - day)) best = point;
  return best;
}
