// SPDX-License-Identifier: Apache-2.0
// How places are marked on the map: a shape for each kind, so that none rests on colour alone.
import type { JSX } from 'preact';

/** Drawn about 0, 0 within a circle of 11 px. */
const GLYPH: Record<string, string> = {
  launch: 'M-6 -4h12M-6 -4l3 8h6l3 -8M0 -4v-4',
  inlet: 'M0 -7v13M-5 1l5 5 5 -5',
  spillway: 'M-7 -2h4v5h3v3h7M-7 -5h14',
  swimming: 'M-7 1q1.75 -3 3.5 0t3.5 0 3.5 0 3.5 0M-7 5q1.75 -3 3.5 0t3.5 0 3.5 0 3.5 0M0 -5.5h.01',
  platform: 'M-6 -3h12v4h-12zM-4 1v5M4 1v5',
  bay: 'M-6 -5v3a6 6 0 0 0 12 0v-3',
  channel: 'M-5 -6q8 3 4 6t6 6',
};

export function PlaceMark({ kind, x, y }: { kind: string; x: number; y: number }): JSX.Element {
  if (kind === 'hazard') {
    return <g class="place-mark place-hazard" transform={`translate(${x.toFixed(1)} ${y.toFixed(1)})`}><path class="place-ground" d="M0 -12 12.5 10h-25z" /><path class="place-glyph" d="M0 -5v7M0 5.2v1.6" /></g>;
  }
  return (
    <g class="place-mark" transform={`translate(${x.toFixed(1)} ${y.toFixed(1)})`}>
      <circle class="place-ground" r={11} /><path class="place-glyph" d={GLYPH[kind] ?? 'M-3 0a3 3 0 1 0 6 0a3 3 0 1 0 -6 0'} />
    </g>
  );
}

/** The same mark in a line of text. */
export function InlineMark({ kind }: { kind: string }): JSX.Element {
  return <svg class="place-inline" width="28" height="28" viewBox="-14 -14 28 28" aria-hidden="true" focusable="false"><PlaceMark kind={kind} x={0} y={0} /></svg>;
}
