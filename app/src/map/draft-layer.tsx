// SPDX-License-Identifier: Apache-2.0
// A place while it is drawn: its line, its points as handles for finger, mouse and keyboard, and small
// handles half way that make a new point when drawn.
import type { JSX } from 'preact';
import { withInserted, withMoved, without, type Draft } from './draft';
import { transformOf, type At } from './layers';
import type { Spot } from './types';
import { pathOf, toPlane, toScreen } from './view';

export type ChangeDraft = (change: (draft: Draft) => Draft) => void;

const REACH_TOUCH_PX = 24;
const REACH_MOUSE_PX = 12;
const STEP_PX = 4;
const MOST_HANDLES = 400;

function middles(draft: Draft): Array<{ after: number; spot: Spot }> {
  if (draft.form === 'spot' || !draft.finished || draft.points.length > MOST_HANDLES / 4) return [];
  const last = draft.form === 'area' ? draft.points.length : draft.points.length - 1;
  return draft.points.slice(0, last).map(([x, y], after) => {
    const [nextX, nextY] = draft.points[(after + 1) % draft.points.length] ?? [x, y];
    return { after, spot: [(x + nextX) / 2, (y + nextY) / 2] };
  });
}

function nearestTo(pixel: Spot, spots: Spot[], at: At, reach: number): number {
  let best = -1;
  let least = reach;
  spots.forEach((spot, index) => {
    const [x, y] = toScreen(at.view, at.size, spot);
    const distance = Math.hypot(x - pixel[0], y - pixel[1]);
    if (distance <= least) { least = distance; best = index; }
  });
  return best;
}

export interface Grip { drag: (pixel: Spot) => void; tap: () => void }

/** What a finger at this pixel takes hold of. */
export function gripOf(draft: Draft, pixel: Spot, at: At, touch: boolean, change: ChangeDraft, choose: (vertex: number) => void): Grip | null {
  const reach = touch ? REACH_TOUCH_PX : REACH_MOUSE_PX;
  const to = (where: Spot): Spot => toPlane(at.view, at.size, where);
  const vertex = nearestTo(pixel, draft.points, at, reach);
  if (vertex >= 0) {
    return { drag: (where) => { choose(vertex); change((now) => withMoved(now, vertex, to(where))); }, tap: () => choose(vertex) };
  }
  const half = middles(draft);
  const found = half[nearestTo(pixel, half.map((one) => one.spot), at, reach)];
  if (!found) return null;
  let put = false;
  const insert = (where: Spot): void => {
    change((now) => (put ? withMoved(now, found.after + 1, to(where)) : withInserted(now, found.after, to(where))));
    put = true;
    choose(found.after + 1);
  };
  return { drag: insert, tap: () => insert(pixel) };
}

function Handle({ spot, index, count, chosen, at, change, choose }: {
  spot: Spot; index: number; count: number; chosen: boolean; at: At; change: ChangeDraft; choose: (vertex: number) => void;
}): JSX.Element {
  const [x, y] = toScreen(at.view, at.size, spot);
  const press = (event: KeyboardEvent): void => {
    const step = (event.shiftKey ? 5 : 1) * STEP_PX / at.view.scale;
    const moves: Record<string, Spot> = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] };
    const move = moves[event.key];
    if (move) change((now) => withMoved(now, index, [spot[0] + move[0], spot[1] + move[1]]));
    else if (event.key === 'Delete' || event.key === 'Backspace') change((now) => without(now, index));
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <circle class={chosen ? 'draft-point draft-point-chosen' : 'draft-point'} cx={x} cy={y} r={chosen ? 10 : 8} tabIndex={0} role="button"
      aria-label={`Point ${index + 1} of ${count}: arrow keys move it, Delete takes it out`} onKeyDown={press} onFocus={() => choose(index)} />
  );
}

export function DraftLayer({ draft, at, vertex, toward, change, choose }: {
  draft: Draft; at: At; vertex: number | null; toward: Spot | null; change: ChangeDraft; choose: (vertex: number) => void;
}): JSX.Element {
  const closed = draft.form === 'area' && draft.points.length > 2;
  const last = draft.points[draft.points.length - 1];
  const { size } = at;
  return (
    <svg class="map-layer" width={size.width} height={size.height} viewBox={`0 0 ${size.width} ${size.height}`}>
      <g transform={transformOf(at)}>
        <path class={closed ? 'draft-line draft-area' : 'draft-line'} d={pathOf([draft.points], closed)} vector-effect="non-scaling-stroke" />
        {!draft.finished && last && toward && <path class="draft-toward" d={pathOf([[last, toward]], false)} vector-effect="non-scaling-stroke" />}
      </g>
      {middles(draft).map(({ after, spot }) => {
        const [x, y] = toScreen(at.view, size, spot);
        return <circle key={`h${after}`} class="draft-middle" cx={x} cy={y} r={5} />;
      })}
      {draft.points.slice(0, MOST_HANDLES).map((spot, index) => (
        <Handle key={index} spot={spot} index={index} count={draft.points.length} chosen={vertex === index} at={at} change={change} choose={choose} />
      ))}
    </svg>
  );
}
