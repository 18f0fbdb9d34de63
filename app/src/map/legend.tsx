// SPDX-License-Identifier: Apache-2.0
// What the tones and the dots mean, in the person's unit.
import type { JSX } from 'preact';
import { toneOf, type Bands } from './bands';
import { inUnit, sayDepth } from './measure';

/** The bands as a strip: each limit under its edge, deeper to the right. */
export function DepthLegend({ bands, down }: { bands: Bands; down: number }): JSX.Element {
  const step = inUnit(bands.step, bands.unit);
  const limit = (at: number): string => String(Number((at * step).toFixed(2)));
  return (
    <div class="legend" role="img" aria-label={`Depth below full pool in ${bands.unit}: ${bands.count} tones, from light at the shore to dark at ${limit(bands.count)}`}>
      <span class="small legend-title">Depth below full pool, {bands.unit}</span>
      <span class="legend-strip">
        {Array.from({ length: bands.count }, (_, at) => <span key={at} class={`legend-tone tone-${toneOf(at, bands.count)}`}><span class="small">{limit(at)}</span></span>)}
        <span class="legend-end small">{limit(bands.count)}</span>
      </span>
      {down > 0.001 && <span class="small legend-dry"><span class="legend-box" /> dry at this level</span>}
    </div>
  );
}

function Dot({ size, square, kind }: { size: number; square: boolean; kind: string }): JSX.Element {
  return (
    <svg width="16" height="16" viewBox="-8 -8 16 16" aria-hidden="true" class={`residual residual-${kind}`}>
      {square ? <rect class="legend-dot" x={-size / 2} y={-size / 2} width={size} height={size} /> : <circle class="legend-dot" r={size / 2} />}
    </svg>
  );
}

export function SoundingsLegend({ limits, unit, count, shown, checked }: { limits: [number, number, number]; unit: string; count: number; shown: number; checked: boolean }): JSX.Element {
  return (
    <div class="legend-soundings small">
      {checked ? (
        <>
          <p>Each sounding against the map drawn without its own line:</p>
          <ul>
            <li><Dot size={5} square={false} kind="none" /> within {sayDepth(limits[0], unit, 0.2)}</li>
            <li><Dot size={7} square kind="deep" /><Dot size={10} square kind="deep" /><Dot size={13} square kind="deep" /> deeper than the map, by more than {limits.map((one) => sayDepth(one, unit, 0.05)).join(', ')}</li>
            <li><Dot size={7} square={false} kind="shallow" /><Dot size={10} square={false} kind="shallow" /><Dot size={13} square={false} kind="shallow" /> shallower, by as much</li>
            <li><span class="legend-cross" aria-hidden="true">×</span> set aside; tap it for the reason</li>
          </ul>
        </>
      ) : <p>Dots are soundings in use; crosses are set aside: tap one for the reason.</p>}
      {shown < count && <p class="quiet">{shown.toLocaleString('en-US')} of {count.toLocaleString('en-US')} are drawn, all that were set aside among them.</p>}
    </div>
  );
}
