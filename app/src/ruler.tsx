// SPDX-License-Identifier: Apache-2.0
// The ruler: clarity is a depth, so it is drawn as one. The top is the water line, numbers go down,
// the aim is a strip across it, the last reading is the disk on its cord, earlier ones are fading
// ticks. Drawn at its true size in pixels, so that its figures stay readable.
import type { JSX } from 'preact';
import { shortDay } from './dates';
import type { ClarityPoint, DatedQ, Q } from './types';
import { drawnUnit, fromMetres } from './units';
import { readable } from './words';

export interface RulerProps {
  low: Q; high: Q; alarm: Q;
  last: DatedQ | ClarityPoint | null;
  earlier: ClarityPoint[];
  size: 'small' | 'large' | 'paper';
  today?: string | undefined;
}

const SIZES = {
  small: { width: 88, height: 148, staff: 30 },
  large: { width: 190, height: 420, staff: 42 },
  paper: { width: 120, height: 190, staff: 30 },
};
const TOP = 3;
const FOOT = 12;

/** Steps between numbers and between ticks that suit a range in this unit. */
function steps(range: number, unit: string, height: number): { major: number; minor: number } {
  const lists: Record<string, number[][]> = {
    in: [[3, 1], [6, 2], [12, 4], [24, 12], [48, 12]], ft: [[1, 0.5], [2, 1], [5, 1], [10, 5]],
    cm: [[10, 5], [20, 5], [50, 10], [100, 50]], m: [[0.1, 0.05], [0.2, 0.1], [0.5, 0.1], [1, 0.5], [2, 1], [5, 1]],
  };
  const room = Math.max(2, Math.floor(height / 22));
  const pick = (lists[unit] ?? lists['m'] ?? []).find(([major]) => range / (major ?? 1) <= room);
  return { major: pick?.[0] ?? range / 4, minor: pick?.[1] ?? range / 8 };
}

function range(props: RulerProps, unit: string): number {
  const depths = [props.high.value * 1.5, ...(props.last ? [props.last.value * 1.15] : [])];
  // One very deep reading must not squeeze the aim into a line: the scale ends at five times the aim.
  const deepest = fromMetres(Math.min(Math.max(...depths), props.high.value * 5), unit);
  const round = unit === 'in' ? 6 : unit === 'cm' ? 10 : unit === 'ft' ? 0.5 : 0.1;
  return Math.ceil(deepest / round) * round;
}

/** The finding in one sentence, for those who do not see the drawing. */
export function rulerFinding(props: Omit<RulerProps, 'size'>): string {
  const aim = `the aim is ${readable(props.low.shown)} to ${readable(props.high.shown)}`;
  if (!props.last) return `No disk reading yet; ${aim}.`;
  const depth = props.last.value;
  const place = depth < props.alarm.value ? 'far too green' : depth < props.low.value ? 'shallower than the aim'
    : depth > props.high.value ? 'deeper than the aim' : 'inside the aim';
  return `The disk was at ${readable(props.last.shown)} on ${shortDay(props.last.date, props.today)}, ${place}; ${aim}.`;
}

function Disk({ x, y, radius }: { x: number; y: number; radius: number }): JSX.Element {
  const flat = radius * 0.46;
  return (
    <g class="ruler-disk">
      <line class="cord" x1={x} y1={TOP} x2={x} y2={y - flat} />
      <ellipse class="plate" cx={x} cy={y} rx={radius} ry={flat} />
      <path class="quarter" d={`M${x} ${y}v${-flat}A${radius} ${flat} 0 0 1 ${x + radius} ${y}zM${x} ${y}v${flat}A${radius} ${flat} 0 0 1 ${x - radius} ${y}z`} />
    </g>
  );
}

function Ticks({ deepest, unit, scale, height, x0, x1 }: {
  deepest: number; unit: string; scale: (depth: number) => number; height: number; x0: number; x1: number;
}): JSX.Element {
  const { major, minor } = steps(deepest, unit, height);
  const marks: JSX.Element[] = [];
  for (let i = 0; i * minor <= deepest + 1e-9; i++) {
    const depth = i * minor;
    const numbered = Math.abs(depth / major - Math.round(depth / major)) < 1e-6;
    const y = scale(depth);
    if (i > 0) marks.push(<line key={`t${i}`} class="tick" x1={x0} y1={y} x2={numbered ? x1 : x0 + (x1 - x0) * 0.45} y2={y} />);
    if (numbered && i > 0 && y < height - 11) {
      marks.push(<text key={`n${i}`} class="number" x={x0 - 7} y={y + 5} text-anchor="end">{Number(depth.toFixed(2))}</text>);
    }
  }
  return <g>{marks}</g>;
}

function Shades({ x, width, height }: { x: number; width: number; height: number }): JSX.Element {
  const bands = 5;
  return (
    <g>
      {Array.from({ length: bands }, (_, at) => (
        <rect key={at} class={`shade shade-${at}`} x={x} y={TOP + (height - TOP) * at / bands} width={width} height={(height - TOP) / bands + 0.5} />
      ))}
    </g>
  );
}

export function Ruler(props: RulerProps): JSX.Element {
  const { width, height, staff } = SIZES[props.size];
  const unit = drawnUnit(props.high.shown);
  const deepest = range(props, unit);
  const bottom = height - FOOT;
  const scale = (depth: number): number => TOP + (Math.min(depth, deepest) / deepest) * (bottom - TOP);
  const y = (metres: number): number => scale(fromMetres(metres, unit));
  const x0 = 32;
  const x1 = x0 + staff;
  const large = props.size === 'large';
  const paper = props.size === 'paper';
  const diskX = large ? x1 + 34 : (x0 + x1) / 2 + 12;
  // Winter's clear water lies below the scale: those ticks are left out.
  const history = props.earlier.filter((one) => one.date !== props.last?.date && fromMetres(one.value, unit) <= deepest);
  const green = props.last !== null && props.last.value < props.alarm.value;
  return (
    <svg class={`ruler ruler-${props.size}${green ? ' ruler-alarm' : ''}`} width={width} height={height} viewBox={`0 0 ${width} ${height}`}
      role="img" aria-label={rulerFinding(props)}>
      <Shades x={x0} width={staff} height={bottom} />
      <rect class="aim" x={x0} y={y(props.low.value)} width={paper ? staff + 30 : width - x0 - (large ? 0 : 10)} height={y(props.high.value) - y(props.low.value)} />
      <line class="too-green" x1={x0 - 2.5} x2={x0 - 2.5} y1={TOP} y2={y(props.alarm.value)} />
      <rect class="staff" x={x0} y={TOP} width={staff} height={bottom - TOP} />
      <Ticks deepest={deepest} unit={unit} scale={scale} height={bottom} x0={x0} x1={x1} />
      {history.slice(-6).map((one, at, all) => (
        <line key={one.date + at} class="earlier" x1={x1 - 2} x2={x1 + (large ? 16 : 10)} y1={y(one.value)} y2={y(one.value)}
          opacity={0.25 + 0.6 * ((at + 1) / all.length)} />
      ))}
      {props.last && <Disk x={diskX} y={y(props.last.value)} radius={large ? 26 : 15} />}
      {large && <line class="water-line" x1={0} y1={TOP} x2={width} y2={TOP} />}
      <text class="number unit" x={x0 - 7} y={bottom + 2} text-anchor="end">{unit}</text>
      {large && <text class="label aim-label" x={width - 6} y={(y(props.low.value) + y(props.high.value)) / 2 + 6} text-anchor="end">aim</text>}
      {paper && <text class="number" x={x1 + 34} y={(y(props.low.value) + y(props.high.value)) / 2 + 5}>aim</text>}
      {large && props.last && (
        <text class="label" x={diskX + 32} y={y(props.last.value) + 5}>{readable(props.last.shown)}</text>
      )}
    </svg>
  );
}
