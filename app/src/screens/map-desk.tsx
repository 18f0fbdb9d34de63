// SPDX-License-Identifier: Apache-2.0
// The map with everything round it: what is under the pointer, the level, the task in hand, the places,
// the shallows, the soundings. On the phone the task stands right under the map, at the desk beside it.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Fault } from '../api';
import { version } from '../live';
import { atStop } from '../map/curve';
import { draftOf, finished, isEnough, newDraft, withPoint, without, type Draft } from '../map/draft';
import { DrawForm } from '../map/draw-form';
import { Hypsograph } from '../map/hypso';
import { DepthLegend, SoundingsLegend } from '../map/legend';
import { CurveTable, LevelPanel } from '../map/level';
import { unitOf } from '../map/measure';
import { PaperMap } from '../map/paper-map';
import { IntervalSelect, Reckoning, ShownChips, type Shown } from '../map/parts';
import type { Plane } from '../map/plane';
import { Readout } from '../map/readout';
import { RopeForm } from '../map/rope-form';
import { SavedNote, useSaver, type Saver } from '../map/save';
import { nearestSounding, SoundingCard } from '../map/sounding-card';
import { Stage, type By, type Chart, type Cursor } from '../map/stage';
import { SurveysPanel } from '../map/surveys-panel';
import { NoDepth, RestsOn } from '../map/teach';
import type { Basin, Soundings, Spot } from '../map/types';
import { ZonesPanel } from '../map/zones-panel';
import { NotYet } from '../parts';
import type { Sheet, Zone } from '../types';

const HELP = 'Arrow keys move the cross, with Shift faster; plus and minus zoom, 0 shows the whole lake. The depth under the cross is read out. '
  + 'Enter picks the sounding under the cross; while drawing, Enter puts a point, Backspace takes back the last one and Escape ends.';

interface DeskProps {
  sheet: Sheet; basin: Basin | undefined; chart: Chart; plane: Plane; shown: Shown; onShown: (shown: Shown) => void;
  interval: number; onInterval: (interval: number) => void; rmse: number | null; soundings: Soundings | undefined;
  waiting: boolean; anew: boolean; fault: Fault | undefined;
}

/** What the person is busy with: at most one thing. */
type Hand = { kind: 'look' } | { kind: 'draw'; draft: Draft } | { kind: 'rope'; spot: Spot | null } | { kind: 'sounding'; survey: number; number: number };
const LOOK: Hand = { kind: 'look' };

function useDesk(): boolean {
  const [wide, setWide] = useState(() => matchMedia('(min-width: 900px)').matches);
  useEffect(() => {
    const query = matchMedia('(min-width: 900px)');
    const turn = (): void => setWide(query.matches);
    query.addEventListener('change', turn);
    return () => query.removeEventListener('change', turn);
  }, []);
  return wide;
}

interface Working {
  hand: Hand; vertex: number | null; saver: Saver; setVertex: (vertex: number | null) => void;
  begin: (hand: Hand) => void; end: () => void; change: (edit: (draft: Draft) => Draft) => void;
  tap: (spot: Spot, reach: number) => void; escape: () => void; back: () => void;
}

function useWorking(soundings: Soundings | null): Working {
  const [hand, setHand] = useState<Hand>(LOOK);
  const [vertex, setVertex] = useState<number | null>(null);
  const saver = useSaver();
  const change = (edit: (draft: Draft) => Draft): void => setHand((now) => (now.kind === 'draw' ? { ...now, draft: edit(now.draft) } : now));
  const pick = (spot: Spot, reach: number): void => {
    const found = soundings && nearestSounding(soundings, spot, reach);
    if (found === null || !soundings) { if (hand.kind === 'sounding') setHand(LOOK); return; }
    saver.clear();
    setHand({ kind: 'sounding', survey: soundings.soundings.survey[found] ?? 0, number: soundings.soundings.number[found] ?? 0 });
  };
  return {
    hand, vertex, saver, setVertex, change,
    begin: (next) => { saver.clear(); setVertex(null); setHand(next); },
    end: () => { saver.forgive(); setVertex(null); setHand(LOOK); },
    tap: (spot, reach) => {
      if (hand.kind === 'draw') change((draft) => withPoint(draft, spot));
      else if (hand.kind === 'rope') setHand({ kind: 'rope', spot });
      else pick(spot, reach);
    },
    escape: () => {
      if (hand.kind === 'draw' && !hand.draft.finished && isEnough(hand.draft)) change(finished);
      else setHand(LOOK);
    },
    back: () => change((draft) => (draft.finished ? draft : without(draft, draft.points.length - 1))),
  };
}

function TaskSlot({ props, work }: { props: DeskProps; work: Working }): JSX.Element | null {
  const { sheet, chart, basin, plane, soundings } = props;
  const { hand, saver } = work;
  if (hand.kind === 'draw') {
    const areaUnit = basin ? unitOf(basin.area) : chart.metric ? 'ha' : 'acre';
    return <DrawForm draft={hand.draft} vertex={work.vertex} zones={sheet.zones} water={sheet.id} plane={plane} areaUnit={areaUnit} change={work.change} onVertex={work.setVertex} onLeave={work.end} saver={saver} />;
  }
  if (hand.kind === 'rope') {
    return <RopeForm water={sheet.id} place={hand.spot && plane.toPlace(hand.spot)} unit={chart.unit} saver={saver} onLeave={work.end} />;
  }
  if (hand.kind === 'sounding' && soundings) {
    const index = soundings.soundings.number.findIndex((one, at) => one === hand.number && soundings.soundings.survey[at] === hand.survey);
    if (index >= 0) return <><SoundingCard soundings={soundings} index={index} surveys={basin?.surveys ?? []} unit={chart.unit} saver={saver} onClose={work.end} /><SavedNote saver={{ ...saver, fault: null, saving: false }} kept="" /></>;
  }
  return null;
}

/** Under the map: tones, what is shown, and what the soundings' marks mean. */
function UnderMap({ props, down }: { props: DeskProps; down: number }): JSX.Element {
  const { chart, basin, soundings, shown } = props;
  return (
    <div class="map-under screen-only">
      {chart.bed && <DepthLegend bands={chart.bands} down={down} />}
      <div class="map-shown">
        <ShownChips shown={shown} hasLines={chart.bed !== null} hasSoundings={(basin?.surveys.length ?? 0) > 0} onShown={props.onShown} />
        {chart.bed && shown.lines && <IntervalSelect deepest={chart.bed.deepest} unit={chart.unit} interval={props.interval} onInterval={props.onInterval} />}
      </div>
      {shown.soundings && soundings && <SoundingsLegend limits={chart.limits} unit={chart.unit} count={soundings.count} shown={soundings.shown} checked={props.rmse !== null} />}
    </div>
  );
}

/** Brings the map to the top of the phone, so that the task under it is in reach. */
function toMap(): void {
  document.querySelector('.map-stage')?.scrollIntoView({ block: matchMedia('(min-width: 900px)').matches ? 'nearest' : 'start' });
}

function LevelTable({ basin }: { basin: Basin }): JSX.Element {
  const [open, setOpen] = useState(false);
  return (
    <section class="block">
      <button type="button" class="button" aria-expanded={open} onClick={() => setOpen(!open)}>{open ? 'Close the table' : 'Table of levels'}</button>
      {open && <CurveTable basin={basin} />}
    </section>
  );
}

function Panels({ props, work }: { props: DeskProps; work: Working }): JSX.Element {
  const { sheet, basin, fault, chart } = props;
  const [importing, setImporting] = useState(false);
  const rope = (): void => { work.begin({ kind: 'rope', spot: null }); toMap(); };
  const draw = (draft: Draft): void => { work.begin({ kind: 'draw', draft }); toMap(); };
  const bring = (): void => { setImporting(true); setTimeout(() => document.getElementById('surveys')?.scrollIntoView({ block: 'start' })); };
  return (
    <>
      {basin && <RestsOn basin={basin} onRope={rope} onImport={bring} />}
      {!basin && fault && !fault.offline && <NoDepth sheet={sheet} fault={fault} metric={chart.metric} onRope={rope} />}
      <ZonesPanel zones={sheet.zones} basin={basin} drawing={work.hand.kind === 'draw'} onDraw={() => draw(newDraft('bay', sheet.zones))} onChange={(zone: Zone) => draw(draftOf(zone, props.plane))} />
      <SurveysPanel water={sheet.id} surveys={basin?.surveys ?? []} importing={importing} onImporting={setImporting} onRope={rope}
        onShow={() => { props.onShown({ ...props.shown, soundings: true }); toMap(); }} />
      {basin && <Hypsograph basin={basin} />}
      {basin && <LevelTable basin={basin} />}
      {basin && <p class="small quiet map-footnote">{basin.caution} Give or take: two times in three the true depth lies that near.</p>}
    </>
  );
}

export function MapDesk(props: DeskProps): JSX.Element {
  const { basin, chart, plane, fault } = props;
  const wide = useDesk();
  const [stop, setStop] = useState(0);
  const [cursor, setCursor] = useState<Cursor | null>(null);
  const work = useWorking(chart.soundings);
  const down = (basin && atStop(basin.curve, stop)?.down) ?? 0;
  const { hand } = work;
  const chosen = chosenSpot(hand, chart.soundings);
  const task = <><TaskSlot props={props} work={work} />{hand.kind === 'look' && <SavedNote saver={work.saver} kept="Nothing was changed." />}</>;
  if (fault?.offline && !basin) return <NotYet fault={fault} what="the map" />;
  return (
    <>
      <div class="map-two screen-only">
        <div class="map-left">
          <Stage chart={chart} down={down} cursor={cursor} onCursor={setCursor} draft={hand.kind === 'draw' ? hand.draft : null} vertex={work.vertex} onDraft={work.change} onVertex={work.setVertex}
            onTap={(spot: Spot, reach: number, _by: By) => work.tap(spot, reach)} onEscape={work.escape} onBack={work.back} chosen={chosen} busy={props.waiting} help={HELP} />
          {(props.waiting || props.anew) && <Reckoning anew={props.anew} />}
          {!wide && task}
          <Readout cursor={cursor} bed={chart.bed} plane={plane} placed={chart.placed} down={down} unit={chart.unit} />
          {basin && <LevelPanel basin={basin} stop={stop} onStop={setStop} />}
          <UnderMap props={props} down={down} />
        </div>
        <div class="map-right">{wide && task}<Panels props={props} work={work} /></div>
      </div>
      <PaperMap chart={chart} basin={basin} down={down} today={version.get()?.today ?? ''} />
    </>
  );
}

function chosenSpot(hand: Hand, soundings: Soundings | null): Spot | null {
  if (hand.kind === 'rope') return hand.spot;
  if (hand.kind !== 'sounding' || !soundings) return null;
  const { x, y, survey, number } = soundings.soundings;
  const at = number.findIndex((one, index) => one === hand.number && survey[index] === hand.survey);
  return at < 0 ? null : [x[at] ?? 0, y[at] ?? 0];
}
