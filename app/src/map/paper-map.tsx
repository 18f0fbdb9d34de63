// SPDX-License-Identifier: Apache-2.0
// The map on paper: the whole water in lines and tones that a printer draws sharp, whatever the screen
// showed; depths written on the lines, so that one ink is enough.
import type { JSX } from 'preact';
import { useMemo } from 'preact/hooks';
import { longDay } from '../dates';
import { readable } from '../words';
import { toneOf } from './bands';
import { ContourLabels, ContourLines, ShoreLine, transformOf, ZoneLines, ZoneMarks, type At } from './layers';
import { kindOf } from './kinds';
import { sayDown, sayRange, unitOf } from './measure';
import { DepthLegend } from './legend';
import { MapEdge, type Chart } from './stage';
import type { Basin } from './types';
import { pathOf, wholeOf } from './view';

const WIDTH = 660;
const TALLEST = 640;

/** Wide waters get a low sheet, tall ones a high one. */
function atFor(chart: Chart): At {
  const { west, east, south, north } = chart.box;
  const height = Math.min(TALLEST, Math.max(260, (WIDTH * (north - south)) / Math.max(east - west, 1) + 70));
  const size = { width: WIDTH, height: Math.round(height) };
  return { size, view: wholeOf(chart.box, size, { x: 18, top: 18, bottom: 44 }) };
}

/** Tones between contours: the deepest limit of a band that a contour reaches. */
function Tones({ chart, at, shore }: { chart: Chart; at: At; shore: string }): JSX.Element {
  const { step, count } = chart.bands;
  const limits = chart.contours.flatMap((contour) => {
    const band = contour.depth.value / step;
    return Math.abs(band - Math.round(band)) < 0.01 && Math.round(band) < count ? [{ band: Math.round(band), d: pathOf(contour.rings, true) }] : [];
  });
  return (
    <g transform={transformOf(at)} fill-rule="evenodd">
      <path class="tone-0" d={shore} />
      {limits.map(({ band, d }) => <path key={band} class={`tone-${toneOf(band, count)}`} d={d} />)}
    </g>
  );
}

export function PaperMap({ chart, basin, down, today }: { chart: Chart; basin: Basin | undefined; down: number; today: string }): JSX.Element {
  const at = useMemo(() => atFor(chart), [chart]);
  const shore = useMemo(() => pathOf(chart.shore, true), [chart.shore]);
  const { width, height } = at.size;
  return (
    <div class="paper paper-map print-only">
      <header class="paper-head"><h1>{chart.name}: depths below full pool, {chart.unit}</h1><p>{today ? longDay(today, true) : ''}</p></header>
      <p class="paper-caution"><strong>Not for navigation.</strong> Water levels change, stumps and shoals may be missing: keep a lookout, and wear a life jacket.</p>
      <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={`Map of ${chart.name} on paper`}>
        <Tones chart={chart} at={at} shore={shore} />
        <ContourLines contours={chart.contours} at={at} />
        <ShoreLine path={shore} at={at} />
        <ZoneLines placed={chart.placed} at={at} without={null} />
        <ContourLabels contours={chart.contours} placed={chart.placed} at={at} unit={chart.unit} />
        <ZoneMarks placed={chart.placed} at={at} without={null} />
        <MapEdge at={at} metric={chart.metric} />
      </svg>
      {chart.bed && <DepthLegend bands={chart.bands} down={0} />}
      {basin && (
        <p>Area {readable(basin.area.shown)}; volume {readable(basin.volume.shown)} ({sayRange(basin.volume.low, basin.volume.high, unitOf(basin.volume))}, 9 times in 10); mean depth {readable(basin.mean_depth.shown)}; deepest {readable(basin.max_depth.shown)}; all at full pool.{down > 0.001 ? ` On the screen the pool stood at ${sayDown(down, chart.unit)}.` : ''} {basin.how}</p>
      )}
      {chart.placed.length > 0 && <p>Marks: {chart.placed.map(({ zone }) => `${zone.name} (${kindOf(zone.kind).text.toLowerCase()})`).join(', ')}.</p>}
    </div>
  );
}
