// SPDX-License-Identifier: Apache-2.0
// Depth bands of one hue in even steps of lightness, their limits round in the person's unit; and the
// classes of a sounding's residual, told by colour, shape and size at once.
import { inUnit } from './measure';

export const MOST_BANDS = 8;

export interface Bands { /** Width of a band, metres. */ step: number; count: number; unit: string }

const FEET = [1, 2, 3, 4, 5, 10, 20, 50];
const METRES = [0.25, 0.5, 1, 2, 3, 5, 10, 20];

export function bandsOf(deepest: number, unit: string): Bands {
  const high = Math.max(inUnit(deepest, unit), 0.01);
  const step = (unit === 'm' ? METRES : FEET).find((one) => high / one <= MOST_BANDS) ?? high / MOST_BANDS;
  return { step: step / inUnit(1, unit), count: Math.max(1, Math.ceil(high / step - 1e-9)), unit };
}

/** Which of the eight tones a band gets: spread over all of them, so that few bands still differ well. */
export function toneOf(band: number, count: number): number {
  return count < 2 ? 2 : Math.round((Math.min(band, count - 1) / (count - 1)) * (MOST_BANDS - 1));
}

/** The intervals offered for the lines, metres, the usual one first. */
export function intervalsOf(deepest: number, unit: string): number[] {
  const list = unit === 'm' ? [0.5, 1, 2, 5] : [1, 2, 5, 10];
  const metres = list.map((one) => one / inUnit(1, unit));
  const usual = metres.find((one) => deepest / one <= 16) ?? metres[metres.length - 1] ?? 1;
  return [usual, ...metres.filter((one) => one !== usual && deepest / one >= 1.5 && deepest / one <= 60)].sort((a, b) => a - b);
}

export function usualInterval(deepest: number, unit: string): number {
  const list = intervalsOf(deepest, unit);
  return list.find((one) => deepest / one <= 16) ?? list[list.length - 1] ?? 1;
}

/** -3 to 3: far shallower than the map expected, to far deeper. Squares are deeper, rounds shallower. */
export type Residual = -3 | -2 | -1 | 0 | 1 | 2 | 3;
export const RESIDUALS: Residual[] = [0, -1, 1, -2, 2, -3, 3];

/** Limits in metres: half, one and two of the cross-validated error. */
export function residualLimits(rmse: number | null): [number, number, number] {
  const one = rmse && rmse > 0 ? rmse : 0.15;
  return [one / 2, one, 2 * one];
}

export function residualClass(residual: number | null, limits: [number, number, number]): Residual {
  if (residual === null) return 0;
  const size = limits.filter((limit) => Math.abs(residual) > limit).length;
  return (residual < 0 ? -size : size) as Residual;
}
