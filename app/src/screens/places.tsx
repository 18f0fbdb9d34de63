// SPDX-License-Identifier: Apache-2.0
// The shape of a water and the places in it: what to beware of, where the boat goes in.
import type { JSX } from 'preact';
import { useCell } from '../cell';
import { version } from '../live';
import { isShape } from '../map/plane';
import { CautionMark } from '../marks';
import { ShapeDrawing } from '../shape';
import { href } from '../route';
import type { Sheet, Zone } from '../types';
import { readable } from '../words';

function ZoneLine({ zone, number }: { zone: Zone; number: number }): JSX.Element {
  return (
    <li class="record">
      <span class="zone-number">{number}</span>
      <div class="record-text zone-text">
        <p>{zone.kind === 'hazard' && <CautionMark />} {zone.name}</p>
        <p class="small quiet">{[zone.kind === zone.name.toLowerCase() ? '' : zone.kind, zone.area ? readable(zone.area.shown) : '', zone.note].filter(Boolean).join(' · ')}</p>
      </div>
    </li>
  );
}

export function Places({ sheet }: { sheet: Sheet }): JSX.Element {
  const metric = useCell(version)?.units === 'metric';
  const outline = sheet.facts['outline'];
  return (
    <section class="block">
      <div class="block-head"><h2>Its shape</h2><a class="button" href={href('map', sheet.id)}>Open the map</a></div>
      {isShape(outline)
        ? <a class="shape-link" href={href('map', sheet.id)} ><ShapeDrawing outline={outline} zones={sheet.zones} name={sheet.name} metric={metric} /></a>
        : <p class="quiet">No outline yet: how deep it is, and where, begins with its shore.</p>}
      <ol class="records">{sheet.zones.map((zone, at) => <ZoneLine key={zone.id} zone={zone} number={at + 1} />)}</ol>
    </section>
  );
}
