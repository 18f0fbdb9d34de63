// SPDX-License-Identifier: Apache-2.0
// The shape of a water and the places in it: what to beware of, where the boat goes in.
import type { JSX } from 'preact';
import { useCell } from '../cell';
import { version } from '../live';
import { CautionMark } from '../marks';
import { ShapeDrawing } from '../shape';
import type { FactValue, Shape, Sheet, Zone } from '../types';
import { readable } from '../words';

function isShape(value: FactValue | undefined): value is FactValue & Shape {
  return typeof value === 'object' && value !== null && 'type' in value && typeof value.type === 'string';
}

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

export function Places({ sheet }: { sheet: Sheet }): JSX.Element | null {
  const metric = useCell(version)?.units === 'metric';
  const outline = sheet.facts['outline'];
  if (!isShape(outline) && !sheet.zones.length) return null;
  return (
    <section class="block">
      <h2>Its shape</h2>
      {isShape(outline) && <ShapeDrawing outline={outline} zones={sheet.zones} name={sheet.name} metric={metric} />}
      <ol class="records">{sheet.zones.map((zone, at) => <ZoneLine key={zone.id} zone={zone} number={at + 1} />)}</ol>
    </section>
  );
}
