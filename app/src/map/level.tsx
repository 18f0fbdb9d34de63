// SPDX-License-Identifier: Apache-2.0
// The pool's level from full to empty: moves the waterline on the map and the figures with it.
import type { JSX } from 'preact';
import { useMemo } from 'preact/hooks';
import { shortDay } from '../dates';
import { readable, sentence } from '../words';
import { atStop, stopOf, stopsOf, type AtLevel } from './curve';
import { depthUnit, sayAmount, sayDepth, sayDown, sayRange, unitOf } from './measure';
import type { Basin } from './types';

interface Said { level: string; area: string; volume: string; range: string; mean: string }

/** At a row of the table the server's own words; in between our own, in the same units. */
function saidOf(basin: Basin, at: AtLevel, isToday: boolean): Said {
  const known = isToday && basin.today ? basin.today : at.row;
  const areaUnit = unitOf(basin.area);
  const volumeUnit = unitOf(basin.volume);
  const unit = depthUnit(basin.max_depth);
  return {
    level: sentence(sayDown(at.down, unit)),
    area: known ? readable(known.area.shown) : sayAmount(at.area, areaUnit),
    volume: known ? readable(known.volume.shown) : sayAmount(at.volume, volumeUnit),
    range: sayRange(at.low, at.high, volumeUnit),
    mean: sayDepth(at.mean, unit),
  };
}

function TodayMark({ share, text }: { share: number; text: string }): JSX.Element {
  return (
    <span class="level-today small" style={{ left: `calc(14px + ${share} * (100% - 28px))` }} data-side={share > 0.5 ? 'left' : 'right'} aria-hidden="true">
      <span>{text}</span>
    </span>
  );
}

export function LevelPanel({ basin, stop, onStop }: { basin: Basin; stop: number; onStop: (stop: number) => void }): JSX.Element | null {
  const { curve, today } = basin;
  const at = useMemo(() => atStop(curve, stop), [curve, stop]);
  if (!at || curve.length < 2) return null;
  const stops = stopsOf(curve);
  const todayStop = today ? stopOf(curve, today.level.value) : null;
  const said = saidOf(basin, at, todayStop === stop);
  const unit = depthUnit(basin.max_depth);
  return (
    <section class="level" aria-labelledby="level-title">
      <div class="level-head">
        <h2 id="level-title">Pool: <span class="level-now">{said.level.toLowerCase()}</span></h2>
        {stop > 0 && <button type="button" class="button plain" onClick={() => onStop(0)}>Full pool</button>}
        {today && todayStop !== null && Math.abs(todayStop - stop) > 0.01 && <button type="button" class="button plain" onClick={() => onStop(todayStop)}>Today</button>}
      </div>
      <div class="level-slide">
        <input type="range" id="level" min={0} max={stops} step={1} value={stop} aria-label="Pool level, from full pool down to empty"
          aria-valuetext={`${said.level}: area ${said.area}, volume ${said.volume}`} onInput={(event) => onStop(Number(event.currentTarget.value))} />
        {today && todayStop !== null && <TodayMark share={todayStop / Math.max(stops, 1)} text={`${sayDown(-today.level.value, unit)} on ${shortDay(today.date)}`} />}
      </div>
      <dl class="level-figures">
        <div><dt class="small">Area</dt><dd>{said.area}</dd></div>
        <div><dt class="small">Volume</dt><dd><data id="level-volume" value={String(at.volume)}>{said.volume}</data></dd><dd class="small quiet">9 in 10: {said.range}</dd></div>
        <div><dt class="small">Mean depth</dt><dd>{said.mean}</dd></div>
      </dl>
    </section>
  );
}

/** The table behind the button: every level the server reckoned. */
export function CurveTable({ basin }: { basin: Basin }): JSX.Element {
  const unit = depthUnit(basin.max_depth);
  const volumeUnit = unitOf(basin.volume);
  return (
    <table class="table curve-table">
      <caption class="small quiet">Area and volume by pool level, with the range that holds the volume 9 times in 10.</caption>
      <thead><tr><th scope="col">Level</th><th scope="col" class="num">Area</th><th scope="col" class="num">Volume</th></tr></thead>
      <tbody>
        {basin.curve.map((row, at) => (
          <tr key={at}>
            <th scope="row">{sentence(sayDown(-row.level.value, unit))}</th>
            <td class="num">{readable(row.area.shown)}</td>
            <td class="num">{readable(row.volume.shown)}<span class="small quiet">{sayRange(row.volume.low, row.volume.high, volumeUnit)}</span></td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
