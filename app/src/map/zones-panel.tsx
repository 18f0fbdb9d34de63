// SPDX-License-Identifier: Apache-2.0
// The places of a water with what each holds; drawn, changed and taken away from here.
import type { JSX } from 'preact';
import type { Zone } from '../types';
import { kindOf } from './kinds';
import { depthUnit, sayDepth, sayShown } from './measure';
import { InlineMark } from './marks';
import type { Basin, ZoneFigures } from './types';

function figuresText(zone: Zone, figures: ZoneFigures | undefined, unit: string): string {
  const kind = kindOf(zone.kind).text.toLowerCase();
  return [
    kind === zone.name.toLowerCase() ? '' : kind,
    figures?.area ? sayShown(figures.area.shown) : zone.area ? sayShown(zone.area.shown) : '',
    figures?.volume ? sayShown(figures.volume.shown) : '',
    figures?.mean_depth ? `${sayDepth(figures.mean_depth.value, unit)} deep on average` : '',
    zone.note,
  ].filter(Boolean).join(' · ');
}

function ZoneRow({ zone, figures, unit, locked, onChange }: {
  zone: Zone; figures: ZoneFigures | undefined; unit: string; locked: boolean; onChange: (zone: Zone) => void;
}): JSX.Element {
  return (
    <li class="record zone-row" data-zone={zone.id}>
      <InlineMark kind={zone.kind} />
      <div class="record-text zone-text"><p>{zone.name}</p><p class="small quiet">{figuresText(zone, figures, unit)}</p></div>
      <button type="button" class="button plain" disabled={locked} aria-label={`Change ${zone.name}`} onClick={() => onChange(zone)}>Change</button>
    </li>
  );
}

export function ZonesPanel({ zones, basin, drawing, onDraw, onChange }: {
  zones: Zone[]; basin: Basin | undefined; drawing: boolean; onDraw: () => void; onChange: (zone: Zone) => void;
}): JSX.Element {
  const unit = basin ? depthUnit(basin.max_depth) : 'ft';
  return (
    <section class="block" aria-labelledby="zones-title">
      <div class="block-head">
        <h2 id="zones-title">Places</h2>
        <button type="button" class="button" disabled={drawing} onClick={onDraw}>Draw a place</button>
      </div>
      {!zones.length && <p class="quiet">None yet. Draw a bay to know what it holds, the stumps to keep the boat off them, the launch, the inlet and the spillway.</p>}
      {(basin?.zones.some((one) => one.area) ?? zones.some((zone) => zone.area)) && <p class="small quiet">Figures at full pool; the level above does not change them.</p>}
      <ul class="records">
        {zones.map((zone) => <ZoneRow key={zone.id} zone={zone} figures={basin?.zones.find((one) => one.id === zone.id)} unit={unit} locked={drawing} onChange={onChange} />)}
      </ul>
    </section>
  );
}
