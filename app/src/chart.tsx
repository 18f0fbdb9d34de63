// SPDX-License-Identifier: Apache-2.0
// The season of one water: the disk's depth downward with the aim as a band and the doses on the top
// edge; alkalinity and temperature below on the same days. Pointing, touching or the arrow keys read
// the nearest values; a button turns it all into a table.
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { depthTicks, monthTicks, nearest, runs, valueTicks, type Point, type Span } from './chart-scale';
import { fromSerial, shortDay } from './dates';
import { readable } from './words';

export interface Dose { day: number; shown: string; material: string }

export interface Strand {
  title: string;
  unit: string;
  points: Point[];
  height: number;
  /** 'down': a depth below the water line, numbered downward. */
  direction: 'down' | 'up';
  band?: { low: number; high: number; text: string } | undefined;
  least?: { value: number; text: string } | undefined;
  doses?: Dose[] | undefined;
}

const LEFT = 44;
const RIGHT = 14;
const DOSE_ROOM = 26;
const GAP_DAYS = 40;

interface Frame { x: (day: number) => number; y: (value: number) => number; top: number; bottom: number; right: number }

function limits(strand: Strand): { low: number; high: number } {
  const values = [...strand.points.map((point) => point.value), ...(strand.band ? [strand.band.high * 1.3] : []), ...(strand.least ? [strand.least.value] : [])];
  if (strand.direction === 'down') return { low: 0, high: Math.max(...values, 0.001) * 1.1 };
  const low = Math.min(...values);
  const high = Math.max(...values);
  const air = Math.max((high - low) * 0.15, Math.abs(high) * 0.05, 0.5);
  return { low: Math.max(0, low - air), high: high + air };
}

function frame(strand: Strand, span: Span, width: number): Frame & { low: number; high: number } {
  const { low, high } = limits(strand);
  const top = strand.doses ? DOSE_ROOM + 8 : 24;
  const bottom = strand.height - 6;
  const right = width - RIGHT;
  const part = (value: number): number => (value - low) / (high - low);
  return {
    low, high, top, bottom, right,
    x: (day) => LEFT + ((day - span.from) / (span.to - span.from)) * (right - LEFT),
    y: (value) => strand.direction === 'down' ? top + part(value) * (bottom - top) : bottom - part(value) * (bottom - top),
  };
}

function Doses({ doses, at }: { doses: Dose[]; at: Frame }): JSX.Element {
  let free = -Infinity;
  return (
    <g class="doses">
      {doses.map((dose, index) => {
        const x = at.x(dose.day);
        const text = dose.shown.replace(/ \(.*\)$/, '').replace(/ of .*$/, '');
        const half = text.length * 3.9;
        const fits = x - half > free && x - half > 0 && x + half < at.right + RIGHT;
        if (fits) free = x + half + 6;
        return (
          <g key={index}>
            <path class="dose" d={`M${x - 5} ${at.top - 9}h10l-5 9z`} />
            {fits && <text class="chart-text" x={x} y={at.top - 14} text-anchor="middle">{text}</text>}
          </g>
        );
      })}
    </g>
  );
}

function StrandView({ strand, span, width, cursor }: { strand: Strand; span: Span; width: number; cursor: number | null }): JSX.Element {
  const at = frame(strand, span, width);
  const down = strand.direction === 'down';
  const ticks = down ? depthTicks(at.high, strand.unit, Math.floor((at.bottom - at.top) / 34)) : valueTicks(at.low, at.high, 3);
  const last = strand.points[strand.points.length - 1];
  const marked = cursor === null ? null : nearest(strand.points, cursor);
  return (
    <svg class="strand" width={width} height={strand.height} aria-hidden="true" focusable="false">
      {strand.band && (
        <g>
          <rect class="aim" x={LEFT} width={at.right - LEFT} y={at.y(strand.band.low)} height={at.y(strand.band.high) - at.y(strand.band.low)} />
          <text class="chart-text aim-text" x={at.right - 4} y={(at.y(strand.band.low) + at.y(strand.band.high)) / 2 + 5} text-anchor="end">{strand.band.text}</text>
        </g>
      )}
      {strand.least && (
        <g>
          <line class="least" x1={LEFT} x2={at.right} y1={at.y(strand.least.value)} y2={at.y(strand.least.value)} />
          <text class="chart-text aim-text" x={at.right - 4} y={at.y(strand.least.value) - 5} text-anchor="end">{strand.least.text}</text>
        </g>
      )}
      {ticks.map((tick) => (
        <g key={tick}>
          <line class="grid" x1={LEFT} x2={at.right} y1={at.y(tick)} y2={at.y(tick)} />
          <text class="chart-text" x={LEFT - 7} y={at.y(tick) + 5} text-anchor="end">{tick}</text>
        </g>
      ))}
      {down ? <line class="water-line" x1={LEFT - 8} x2={at.right} y1={at.top} y2={at.top} /> : <line class="base" x1={LEFT} x2={at.right} y1={at.bottom} y2={at.bottom} />}
      {monthTicks(span, at.right - LEFT).map((tick) => <line key={tick.at} class="grid" x1={at.x(tick.at)} x2={at.x(tick.at)} y1={at.top} y2={at.bottom} />)}
      {runs(strand.points, GAP_DAYS).map((run, index) => (
        <polyline key={index} class="thread" points={run.map((point) => `${at.x(point.day).toFixed(1)},${at.y(point.value).toFixed(1)}`).join(' ')} />
      ))}
      {strand.points.map((point, index) => <circle key={index} class="bead" cx={at.x(point.day)} cy={at.y(point.value)} r={point === last ? 5 : 3.5} />)}
      {cursor !== null && <line class="cursor" x1={at.x(cursor)} x2={at.x(cursor)} y1={at.top} y2={at.bottom} />}
      {marked && <circle class="bead-marked" cx={at.x(marked.day)} cy={at.y(marked.value)} r={7} />}
      {strand.doses && <Doses doses={strand.doses} at={at} />}
      {!strand.doses && <text class="chart-text chart-title" x={LEFT} y={14}>{strand.title}{strand.unit ? `, ${strand.unit}` : ''}</text>}
    </svg>
  );
}

function Months({ span, width }: { span: Span; width: number }): JSX.Element {
  const x = (day: number): number => LEFT + ((day - span.from) / (span.to - span.from)) * (width - RIGHT - LEFT);
  return (
    <svg class="strand" width={width} height={22} aria-hidden="true" focusable="false">
      {monthTicks(span, width - LEFT - RIGHT).map((tick) => <text key={tick.at} class="chart-text" x={x(tick.at)} y={15} text-anchor="middle">{tick.text}</text>)}
    </svg>
  );
}

function useWidth(): { box: { current: HTMLDivElement | null }; width: number } {
  const box = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  useEffect(() => {
    const element = box.current;
    if (!element) return undefined;
    const watcher = new ResizeObserver(() => setWidth(Math.floor(element.clientWidth)));
    watcher.observe(element);
    return () => watcher.disconnect();
  }, []);
  return { box, width };
}

function readOut(strands: Strand[], day: number, today: string): string {
  const values = strands.flatMap((strand) => {
    const point = nearest(strand.points, day);
    if (!point || Math.abs(point.day - day) > 21) return [];
    return [`${strand.title} ${readable(point.shown)}${point.day === day ? '' : ` (${shortDay(fromSerial(point.day), today)})`}`];
  });
  const dose = strands.flatMap((strand) => strand.doses ?? []).find((one) => one.day === day);
  return [...(dose ? [`put out ${dose.shown} of ${dose.material}`] : []), ...values].join(' · ');
}

export function SeasonTable({ strands, today }: { strands: Strand[]; today: string }): JSX.Element {
  const doses = strands.flatMap((strand) => strand.doses ?? []);
  const days = [...new Set([...strands.flatMap((strand) => strand.points.map((point) => point.day)), ...doses.map((dose) => dose.day)])].sort((a, b) => b - a);
  return (
    <table class="table">
      <thead><tr><th scope="col">Day</th>{strands.map((strand) => <th scope="col" key={strand.title}>{strand.title}</th>)}{doses.length > 0 && <th scope="col">put out</th>}</tr></thead>
      <tbody>
        {days.map((day) => (
          <tr key={day}>
            <th scope="row">{shortDay(fromSerial(day), today)}</th>
            {strands.map((strand) => <td key={strand.title}>{strand.points.filter((point) => point.day === day).map((point) => readable(point.shown)).join(', ')}</td>)}
            {doses.length > 0 && <td>{doses.filter((dose) => dose.day === day).map((dose) => `${dose.shown} ${dose.material}`).join('; ')}</td>}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** The charts with their reading line. `finding` is the one sentence that says what they show. */
export function SeasonChart({ strands, span, today, finding }: { strands: Strand[]; span: Span; today: string; finding: string }): JSX.Element {
  const { box, width } = useWidth();
  const [cursor, setCursor] = useState<number | null>(null);
  const days = [...new Set([...strands.flatMap((strand) => strand.points.map((point) => point.day)), ...strands.flatMap((strand) => (strand.doses ?? []).map((dose) => dose.day))])].sort((a, b) => a - b);
  const snap = (day: number): number => days.reduce((best, one) => (Math.abs(one - day) < Math.abs(best - day) ? one : best), days[0] ?? day);
  const point = (event: PointerEvent): void => {
    const left = box.current?.getBoundingClientRect().left ?? 0;
    setCursor(snap(span.from + ((event.clientX - left - LEFT) / (width - LEFT - RIGHT)) * (span.to - span.from)));
  };
  const index = cursor === null ? days.length - 1 : days.indexOf(cursor);
  const said = readOut(strands, cursor ?? days[days.length - 1] ?? span.to, today);
  return (
    <div class="chart">
      <p class="chart-read small">{cursor === null ? 'Point at the chart, or use the arrow keys, to read it.' : `${shortDay(fromSerial(cursor), today)}: ${said}`}</p>
      <div class="chart-box" ref={box} role="img" aria-label={finding} onPointerMove={point} onPointerDown={point} onPointerLeave={(event) => { if (event.pointerType === 'mouse') setCursor(null); }}>
        {width > 0 && strands.map((strand) => (
          <div key={strand.title}>
            {strand.doses && <p class="chart-title small">{strand.title}, {strand.unit}; marks on the top edge: what was put out</p>}
            <StrandView strand={strand} span={span} width={width} cursor={cursor} />
          </div>
        ))}
        {width > 0 && <Months span={span} width={width} />}
      </div>
      <input class="chart-keys" type="range" min={0} max={Math.max(0, days.length - 1)} step={1} value={index}
        aria-label="Read the chart day by day" aria-valuetext={`${shortDay(fromSerial(days[index] ?? span.to), today)}: ${said}`}
        onFocus={() => setCursor(days[index] ?? null)} onBlur={() => setCursor(null)}
        onInput={(event) => setCursor(days[Number(event.currentTarget.value)] ?? null)} />
    </div>
  );
}
