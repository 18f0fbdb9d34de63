// SPDX-License-Identifier: Apache-2.0
// The map of a water: how deep, where? Fetches what there is and shows as much of it as is known.
import type { JSX } from 'preact';
import { useMemo, useState } from 'preact/hooks';
import { useCell } from '../cell';
import type { Fault } from '../api';
import { useGet, version } from '../live';
import { bandsOf, residualLimits, usualInterval } from '../map/bands';
import { bedOf, type Bed } from '../map/bed';
import { placedZones } from '../map/layers';
import { depthUnit } from '../map/measure';
import type { Shown } from '../map/parts';
import { isShape, linesOf, planeOfMap, planeOfOutline, type Plane } from '../map/plane';
import type { Chart } from '../map/stage';
import { NoOutline } from '../map/teach';
import type { Basin, BedAnswer, Contours, Soundings, Spot } from '../map/types';
import { boxOf } from '../map/view';
import { NotYet } from '../parts';
import type { Shape, Sheet } from '../types';
import { MapDesk } from './map-desk';

interface Ground { plane: Plane; shore: Spot[][]; bed: Bed | null }

/** The plane, the shore and the bed: the server's own once they are here, the bare outline before. */
function useGround(outline: Shape, answer: BedAnswer | undefined): Ground {
  return useMemo(() => {
    if (answer) return { plane: planeOfMap(answer.frame, answer.corners), shore: answer.shore, bed: bedOf(answer) };
    const { rings } = linesOf(outline);
    const plane = planeOfOutline(rings);
    return { plane, shore: rings.map((ring) => ring.map(plane.toSpot)), bed: null };
  }, [outline, answer]);
}

function useOutline(sheet: Sheet): Shape {
  const outline = sheet.facts['outline'];
  const key = JSON.stringify(outline ?? null);
  return useMemo(() => JSON.parse(key) as Shape, [key]);
}

function KnownMap({ sheet }: { sheet: Sheet }): JSX.Element {
  const metric = useCell(version)?.units === 'metric';
  const [shown, setShown] = useState<Shown>({ lines: true, soundings: false, places: true });
  const [chosenInterval, setInterval] = useState<number | null>(null);
  const path = `/waters/${sheet.id}`;
  const basin = useGet<Basin>(`${path}/basin`);
  const bedAnswer = useGet<BedAnswer>(basin.data ? `${path}/basin/map` : null);
  const unit = basin.data ? depthUnit(basin.data.max_depth) : metric ? 'm' : 'ft';
  const deepest = basin.data?.max_depth.value ?? 1;
  const interval = chosenInterval ?? usualInterval(deepest, unit);
  const contours = useGet<Contours>(bedAnswer.data ? `${path}/basin/contours?interval=${Number(interval.toFixed(6))}` : null);
  const hasSoundings = (basin.data?.surveys.length ?? 0) > 0;
  const soundings = useGet<Soundings>(shown.soundings && hasSoundings ? `${path}/soundings` : null);
  const { plane, shore, bed } = useGround(useOutline(sheet), bedAnswer.data);
  const rmse = basin.data?.cross_validation?.rmse.value ?? null;
  const placed = useMemo(() => placedZones(sheet.zones, plane), [sheet.zones, plane]);
  const limits = useMemo(() => residualLimits(rmse), [rmse]);
  const bands = useMemo(() => bandsOf(bed?.deepest ?? deepest, unit), [bed, deepest, unit]);
  const box = useMemo(() => boxOf(shore), [shore]);
  const chart = useMemo<Chart>(() => ({
    name: sheet.name, bed, bands, shore, box, contours: shown.lines ? contours.data?.contours ?? [] : [],
    soundings: shown.soundings ? soundings.data ?? null : null, limits, placed: shown.places ? placed : [], unit, metric,
  }), [sheet.name, bed, bands, shore, box, contours.data, soundings.data, limits, placed, shown, unit, metric]);
  const waiting = basin.loading || (basin.data !== undefined && bedAnswer.loading);
  const fault: Fault | undefined = basin.data ? bedAnswer.fault : basin.fault;
  return (
    <MapDesk sheet={sheet} basin={basin.data} chart={chart} plane={plane} shown={shown} onShown={setShown} interval={interval} onInterval={setInterval} rmse={rmse}
      soundings={soundings.data} waiting={waiting} anew={!waiting && (basin.busy || bedAnswer.busy)} fault={fault} />
  );
}

export function MapScreen({ id }: { id: number }): JSX.Element {
  const { data: sheet, fault } = useGet<Sheet>(`/waters/${id}`);
  if (!sheet) return <NotYet fault={fault} what="the map" />;
  return (
    <div class="map-screen">
      <header class="map-head">
        <a class="button back" href={`#/water/${sheet.id}`}>‹ {sheet.name}</a>
        <h1>Map of {sheet.name}</h1>
        <button type="button" class="button plain screen-only map-print" onClick={() => print()}>Print</button>
      </header>
      {isShape(sheet.facts['outline']) ? <KnownMap key={sheet.id} sheet={sheet} /> : <NoOutline sheet={sheet} />}
    </div>
  );
}
