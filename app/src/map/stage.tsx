// SPDX-License-Identifier: Apache-2.0
// The map itself: canvas below, lines and marks above, moved by finger, mouse, wheel, keys or buttons.
import type { JSX } from 'preact';
import { useMemo, useRef, useState } from 'preact/hooks';
import { CautionMark } from '../marks';
import type { Bands } from './bands';
import { deepestSpot, type Bed } from './bed';
import { usePainted, useSize } from './canvas';
import type { Draft } from './draft';
import { DraftLayer, gripOf, type ChangeDraft } from './draft-layer';
import { useHands } from './gestures';
import { ContourLabels, ContourLines, SetAsideCrosses, ShoreLine, SoundingDots, ZoneLines, ZoneMarks, type At, type Placed } from './layers';
import type { Contour, Soundings, Spot } from './types';
import { held, matrixOf, panned, pathOf, scaleBar, toPlane, toScreen, wholeOf, zoomed, type Box, type Size, type View } from './view';

export type By = 'mouse' | 'touch' | 'keys';
export interface Cursor { spot: Spot; by: By }

/** All that is drawn; what is not known yet is empty. */
export interface Chart {
  name: string; bed: Bed | null; bands: Bands; shore: Spot[][]; box: Box;
  contours: Contour[]; soundings: Soundings | null; limits: [number, number, number]; placed: Placed[];
  unit: string; metric: boolean;
}

export interface StageProps {
  chart: Chart; down: number; cursor: Cursor | null; onCursor: (cursor: Cursor | null) => void;
  draft: Draft | null; vertex: number | null; onDraft: ChangeDraft; onVertex: (vertex: number | null) => void;
  /** A tap or Enter: the spot, and how many metres off still counts as hitting. */
  onTap: (spot: Spot, reach: number, by: By) => void;
  onEscape: () => void; onBack: () => void;
  chosen: Spot | null; busy: boolean; help: string;
}

const REACH_PX = { mouse: 10, touch: 24, keys: 12 };
const STEP_PX = 8;
const STEP_FAR_PX = 48;
const ZOOM = 1.6;
const EDGE_PX = 36;

interface Moves { set: (change: (view: View) => View) => void; whole: () => void; zoomBy: (factor: number) => void }

function Buttons({ moves, isWhole }: { moves: Moves; isWhole: boolean }): JSX.Element {
  return (
    <div class="map-buttons screen-only" role="group" aria-label="Zoom">
      <button type="button" class="button map-whole" disabled={isWhole} onClick={moves.whole}>Whole lake</button>
      <button type="button" class="button" aria-label="Closer" onClick={() => moves.zoomBy(ZOOM)}>+</button>
      <button type="button" class="button" aria-label="Further out" disabled={isWhole} onClick={() => moves.zoomBy(1 / ZOOM)}>−</button>
    </div>
  );
}

export function MapEdge({ at, metric }: { at: At; metric: boolean }): JSX.Element {
  const bar = scaleBar(at.view.scale, Math.min(at.size.width, 480), metric);
  const y = at.size.height - 12;
  return (
    <g class="map-edge">
      <path class="map-bar-rim" d={`M12 ${y - 6}v6h${bar.pixels.toFixed(1)}v-6M20 44V14l-5 9m5 -9l5 9`} />
      <path class="map-bar" d={`M12 ${y - 6}v6h${bar.pixels.toFixed(1)}v-6`} /><text class="map-name" x={12 + bar.pixels + 7} y={y}>{bar.text}</text>
      <path class="map-bar" d="M20 44V14l-5 9m5 -9l5 9" /><text class="map-name" x={20} y={60} text-anchor="middle">N</text>
    </g>
  );
}

function Cross({ spot, at }: { spot: Spot; at: At }): JSX.Element {
  const [x, y] = toScreen(at.view, at.size, spot);
  const d = `M${x - 18} ${y}h13m10 0h13M${x} ${y - 18}v13m0 10v13`;
  return <g><path class="map-cross-rim" d={d} /><path class="map-cross" d={d} /></g>;
}

function Overlay({ props, at, shorePath }: { props: StageProps; at: At; shorePath: string }): JSX.Element {
  const { chart, draft, cursor, chosen } = props;
  const { size } = at;
  const without = draft?.id ?? null;
  const mark = chosen && toScreen(at.view, size, chosen);
  return (
    <svg class="map-layer" width={size.width} height={size.height} viewBox={`0 0 ${size.width} ${size.height}`} aria-hidden="true" focusable="false">
      <ContourLines contours={chart.contours} at={at} />
      <ShoreLine path={shorePath} at={at} />
      <ZoneLines placed={chart.placed} at={at} without={without} />
      {chart.soundings && <SoundingDots soundings={chart.soundings} limits={chart.limits} at={at} />}
      {chart.soundings && <SetAsideCrosses soundings={chart.soundings} at={at} />}
      <ContourLabels contours={chart.contours} placed={chart.placed} at={at} unit={chart.unit} />
      <ZoneMarks placed={chart.placed} at={at} without={without} />
      {mark && <circle class="map-chosen" cx={mark[0]} cy={mark[1]} r={13} />}
      <MapEdge at={at} metric={chart.metric} />
      {cursor && cursor.by !== 'mouse' && <Cross spot={cursor.spot} at={at} />}
    </svg>
  );
}

/** Keys on the map: arrows move the cross, + and - zoom, Enter taps, Escape ends, Backspace takes back. */
function useKeys(props: StageProps, at: At, moves: Moves): (event: KeyboardEvent) => void {
  const { chart, cursor, onCursor } = props;
  const start = (): Spot => cursor?.spot ?? (chart.bed ? deepestSpot(chart.bed) : [at.view.x, at.view.y]);
  const step = (dx: number, dy: number, far: boolean): void => {
    const metres = (far ? STEP_FAR_PX : STEP_PX) / at.view.scale;
    const from = start();
    const keep = (value: number, low: number, high: number): number => Math.min(Math.max(value, low), high);
    const { west, east, south, north } = chart.box;
    const spot: Spot = cursor ? [keep(from[0] + dx * metres, west, east), keep(from[1] + dy * metres, south, north)] : from;
    onCursor({ spot, by: 'keys' });
    const [px, py] = toScreen(at.view, at.size, spot);
    const over = (value: number, most: number): number => (value < EDGE_PX ? value - EDGE_PX : value > most - EDGE_PX ? value - most + EDGE_PX : 0);
    moves.set((view) => panned(view, -over(px, at.size.width), -over(py, at.size.height)));
  };
  const keys: Record<string, (far: boolean) => void> = {
    ArrowLeft: (far) => step(-1, 0, far), ArrowRight: (far) => step(1, 0, far), ArrowUp: (far) => step(0, 1, far), ArrowDown: (far) => step(0, -1, far),
    '+': () => moves.zoomBy(ZOOM), '=': () => moves.zoomBy(ZOOM), '-': () => moves.zoomBy(1 / ZOOM), _: () => moves.zoomBy(1 / ZOOM), 0: moves.whole, Home: moves.whole,
    Enter: () => props.onTap(start(), REACH_PX.keys / at.view.scale, 'keys'), Escape: props.onEscape, Backspace: props.onBack,
  };
  return (event) => {
    const act = keys[event.key];
    if (!act || event.ctrlKey || event.metaKey || event.altKey || event.target !== event.currentTarget) return;
    event.preventDefault();
    act(event.shiftKey);
  };
}

/** The view in use; null while the whole water is on show, so that it stays whole when the size changes. */
function useView(box: Box, size: Size, cursor: Cursor | null): { view: View; isWhole: boolean; moves: Moves } {
  const [own, setOwn] = useState<View | null>(null);
  const whole = useMemo(() => wholeOf(box, size), [box, size]);
  const set = (change: (view: View) => View): void => setOwn((before) => {
    const next = held(change(before ?? whole), box, size);
    return next.scale <= whole.scale * 1.0001 ? null : next;
  });
  const zoomBy = (factor: number): void => set((view) => {
    const keyed = cursor?.by === 'keys' ? toScreen(view, size, cursor.spot) : null;
    return zoomed(view, size, keyed ?? [size.width / 2, size.height / 2], factor);
  });
  return { view: own ?? whole, isWhole: own === null, moves: { set, zoomBy, whole: () => setOwn(null) } };
}

export function Stage(props: StageProps): JSX.Element {
  const { chart, draft, cursor, onCursor } = props;
  const { box, size } = useSize();
  const canvas = useRef<HTMLCanvasElement>(null);
  const { view, isWhole, moves } = useView(chart.box, size, cursor);
  const at: At = { view, size };
  const shorePath = useMemo(() => pathOf(chart.shore, true), [chart.shore]);
  usePainted(canvas, chart.bed, chart.bands, shorePath, props.down, view, size);
  useHands(box, {
    grab: (pixel, touch) => (draft ? gripOf(draft, pixel, at, touch, props.onDraft, props.onVertex) : null),
    pan: (dx, dy) => moves.set((now) => panned(now, dx, dy)),
    zoom: (pixel, factor) => moves.set((now) => zoomed(now, size, pixel, factor)),
    hover: (pixel) => { if (pixel) onCursor({ spot: toPlane(view, size, pixel), by: 'mouse' }); else if (cursor?.by === 'mouse') onCursor(null); },
    tap: (pixel, touch) => {
      const by: By = touch ? 'touch' : 'mouse';
      const spot = toPlane(view, size, pixel);
      onCursor({ spot, by });
      props.onTap(spot, REACH_PX[by] / view.scale, by);
    },
  });
  const press = useKeys(props, at, moves);
  const focus = (): void => { if (box.current?.matches(':focus-visible') && !cursor && chart.bed) onCursor({ spot: deepestSpot(chart.bed), by: 'keys' }); };
  const shape = (chart.box.north - chart.box.south) / Math.max(chart.box.east - chart.box.west, 1);
  return (
    <div class="map-stage" style={{ '--shape': shape.toFixed(3) }} aria-busy={props.busy || undefined}>
      <div class="map-surface" ref={box} role="application" tabIndex={0} aria-label={`Map of ${chart.name}, north up`} aria-describedby="map-help"
        data-zoomed={!isWhole || draft !== null} data-scale={view.scale} data-matrix={matrixOf(view, size).join(' ')} onKeyDown={press} onFocus={focus}>
        <canvas ref={canvas} class="map-canvas" aria-hidden="true" />
        {size.width > 0 && <Overlay props={props} at={at} shorePath={shorePath} />}
        {size.width > 0 && draft && <DraftLayer draft={draft} at={at} vertex={props.vertex} toward={cursor?.spot ?? null} change={props.onDraft} choose={props.onVertex} />}
      </div>
      <p class="unseen" id="map-help">{props.help}</p>
      <Buttons moves={moves} isWhole={isWhole} />
      <p class="map-caution small"><CautionMark /> Not for navigation</p>
    </div>
  );
}
