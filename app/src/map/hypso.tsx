// SPDX-License-Identifier: Apache-2.0
// How much of the water is shallower than any depth: the hypsograph, and the share where weeds find
// light. Deeper is lower, as on every ruler here.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { valueTicks } from '../chart-scale';
import { useSize } from './canvas';
import { shareShallower } from './curve';
import { depthUnit, inUnit, sayAmount, sayDepth, unitOf } from './measure';
import type { Basin } from './types';

const LEFT = 40;
const RIGHT = 16;
const TOP = 26;
const HEIGHT = 230;
const BOTTOM = HEIGHT - 8;

/** Where the marker stands before anybody moves it: a round depth, no advice. */
function firstWeedDepth(unit: string, deepest: number): number {
  return Math.min(unit === 'm' ? 1 : 3 * 0.3048, deepest / 2);
}

interface Scale { x: (share: number) => number; y: (depth: number) => number }

function Plot({ basin, scale, weed, unit, width }: { basin: Basin; scale: Scale; weed: number; unit: string; width: number }): JSX.Element {
  const deepest = basin.max_depth.value;
  const line = basin.hypsograph.map((row) => `${scale.x(row.share_shallower.value).toFixed(1)} ${scale.y(row.depth.value).toFixed(1)}`);
  const share = shareShallower(basin.hypsograph, weed);
  const ticks = valueTicks(0, inUnit(deepest, unit), 7);
  return (
    <svg width={width} height={HEIGHT} aria-hidden="true" focusable="false">
      <path class="hypso-water" d={`M${scale.x(0)} ${TOP}L${line.join('L')}L${scale.x(1)} ${TOP}Z`} />
      <rect class="hypso-weed" x={scale.x(0)} y={TOP} width={scale.x(share) - scale.x(0)} height={scale.y(weed) - TOP} />
      {ticks.map((tick) => {
        const y = scale.y(tick * inUnitInverse(unit));
        return <g key={tick}><line class="grid" x1={LEFT} x2={width - RIGHT} y1={y} y2={y} /><text class="chart-text" x={LEFT - 7} y={y + 5} text-anchor="end">{tick}</text></g>;
      })}
      {[0, 0.5, 1].map((tick) => <text key={tick} class="chart-text" x={scale.x(tick)} y={16} text-anchor={tick === 1 ? 'end' : tick === 0 ? 'start' : 'middle'}>{tick * 100} %</text>)}
      <path class="hypso-line" d={`M${line.join('L')}`} />
      <line class="water-line" x1={LEFT - 6} x2={width - RIGHT} y1={TOP} y2={TOP} />
      <path class="hypso-mark" d={`M${scale.x(0)} ${scale.y(weed)}H${scale.x(share).toFixed(1)}V${TOP}`} />
      <circle class="bead" cx={scale.x(share)} cy={scale.y(weed)} r={6} />
    </svg>
  );
}

function inUnitInverse(unit: string): number {
  return 1 / inUnit(1, unit);
}

export function Hypsograph({ basin }: { basin: Basin }): JSX.Element | null {
  const unit = depthUnit(basin.max_depth);
  const deepest = basin.max_depth.value;
  const [weed, setWeed] = useState(() => firstWeedDepth(unit, deepest));
  const { box, size } = useSize();
  if (basin.hypsograph.length < 2 || !(deepest > 0)) return null;
  const share = shareShallower(basin.hypsograph, weed);
  const scale: Scale = {
    x: (part) => LEFT + part * (size.width - LEFT - RIGHT),
    y: (depth) => TOP + (depth / deepest) * (BOTTOM - TOP),
  };
  const said = `${Math.round(share * 100)} % of the water is shallower than ${sayDepth(weed, unit)}: ${sayAmount(share * basin.area.value, unitOf(basin.area))}.`;
  const step = unit === 'm' ? 0.1 : 0.5 * 0.3048;
  return (
    <section class="block" aria-labelledby="hypso-title">
      <h2 id="hypso-title">How much of it is shallow</h2>
      <p>{said}</p>
      <div class="hypso" ref={box} role="img" aria-label={`Share of the surface shallower than each depth. ${said}`}>
        {size.width > 0 && <Plot basin={basin} scale={scale} weed={weed} unit={unit} width={size.width} />}
      </div>
      <p class="small quiet">Across: share of the surface that is shallower. Down: depth below full pool, {unit}.</p>
      <label class="field">
        <span class="field-label">Weed depth: {sayDepth(weed, unit)}</span>
        <input type="range" min={0} max={Math.round(deepest / step)} step={1} value={Math.round(weed / step)} aria-valuetext={said}
          onInput={(event) => setWeed(Math.min(deepest, Number(event.currentTarget.value) * step))} />
        <span class="small quiet">Set it to the depth at which you see rooted weeds end; the clearer the water, the deeper.</span>
      </label>
    </section>
  );
}
