// SPDX-License-Identifier: Apache-2.0
// One water: how is it doing? The ruler and the season first, then its size and facts, the season's
// doses to come, what was done and noted, and the rules set aside.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { SeasonChart, SeasonTable } from '../chart';
import { nearDay } from '../dates';
import { Figure } from '../figure';
import { useGet, version } from '../live';
import { openedLatest, openedSize, type SizeName } from '../opened';
import { NotYet, VerdictWord } from '../parts';
import { href } from '../route';
import { Ruler } from '../ruler';
import { seasonOf } from '../season-data';
import type { ClarityPoint, Now, Q, Rules, Sheet } from '../types';
import { because, inOrder, readable, sentence, slug, SPACE } from '../words';
import { Facts } from './facts';
import { Places } from './places';
import { DeleteWater, Notes, Overrides, Readings, Treatments } from './records';
import { SeasonSheet } from './season';

function ClarityRuler({ sheet, today }: { sheet: Sheet; today: string }): JSX.Element {
  const disk: ClarityPoint[] = sheet.readings.filter((one) => one.quantity === 'secchi').map(({ date, value, shown }) => ({ date, value, shown }));
  return <Ruler size="large" low={sheet.aim.low} high={sheet.aim.high} alarm={sheet.aim.alarm} last={disk[disk.length - 1] ?? null} earlier={disk.slice(-7, -1)} today={today} />;
}

function LatestList({ sheet, today }: { sheet: Sheet; today: string }): JSX.Element {
  if (!sheet.latest.length) {
    return <div class="empty"><p>Nothing has been read here yet. Lower the disk and log the depth: that one number starts the advice.</p><a class="button strong" href={`#/log/reading?water=${sheet.id}&what=secchi`}>Log the disk</a></div>;
  }
  return (
    <dl class="rows">
      {sheet.latest.map((latest) => (
        <div class={latest.fresh ? 'row' : 'row row-stale'} key={latest.quantity}>
          <dt>{sentence(latest.label)}</dt>
          <dd><Figure of={openedLatest(latest, sheet)}>{readable(latest.shown)}</Figure><span class="small quiet when-read"> {nearDay(latest.date, today)}{latest.fresh ? '' : ', old'}</span></dd>
        </div>
      ))}
    </dl>
  );
}

function Size({ sheet }: { sheet: Sheet }): JSX.Element {
  const rows: Array<[SizeName, string, Q | null]> = [
    ['area', 'Area', sheet.area], ['mean depth', 'Mean depth', sheet.mean_depth], ['volume', 'Volume', sheet.volume],
    ['retention', 'Water stays', sheet.retention], ['shoreline', 'Shoreline', sheet.perimeter],
  ];
  return (
    <dl class="rows">
      {rows.map(([key, label, q]) => (
        <div class="row" key={key}><dt>{label}</dt><dd>{q ? <Figure of={openedSize(key, q, sheet)} /> : <span class="quiet">not known</span>}</dd></div>
      ))}
    </dl>
  );
}

function SeasonCharts({ sheet, today }: { sheet: Sheet; today: string }): JSX.Element {
  const [asTable, setAsTable] = useState(false);
  const { data: rules } = useGet<Rules>('/rules');
  const least = rules?.program.find((row) => row.key === 'alkalinity-least')?.value.value ?? null;
  const { strands, span, finding } = seasonOf(sheet, today, least);
  if (!strands.length) return <p class="quiet">The chart begins with the first reading.</p>;
  return (
    <section class="water-season" aria-labelledby="season-title">
      <div class="block-head">
        <h2 id="season-title">The season so far</h2>
        <button type="button" class="button" aria-pressed={asTable} onClick={() => setAsTable(!asTable)}>{asTable ? 'As a chart' : 'As a table'}</button>
      </div>
      <p>{finding}</p>
      {asTable ? <SeasonTable strands={strands} today={today} /> : <SeasonChart strands={strands} span={span} today={today} finding={finding} />}
    </section>
  );
}

function Verdicts({ id }: { id: number }): JSX.Element | null {
  const { data } = useGet<Now>('/now');
  const lead = inOrder(data?.waters.find((one) => one.id === id)?.items ?? [])[0];
  if (!lead) return null;
  return (
    <a class="lead" href={href('why', id, slug(lead.subject))}>
      <VerdictWord verdict={lead.verdict} danger={lead.urgency === 0 && lead.verdict !== 'hold'} /><span>{because(lead)}</span>
    </a>
  );
}

export function WaterScreen({ id }: { id: number }): JSX.Element {
  const { data: sheet, fault } = useGet<Sheet>(`/waters/${id}`);
  const today = version.get()?.today ?? '';
  if (!sheet) return <NotYet fault={fault} what="this water" />;
  return (
    <div class="water">
      <div class="block-head"><a class="button back" href="#/">‹ Today</a><a class="text-link" href={href('map', id)}>Map{SPACE}›</a></div>
      <header class="screen-head"><h1>{sheet.name}</h1></header>
      <Verdicts id={id} />
      <div class="water-top">
        <div class="water-ruler"><ClarityRuler sheet={sheet} today={today} /></div>
        <section class="water-latest" aria-label="Last readings">
          <h2>Last readings</h2>
          <LatestList sheet={sheet} today={today} />
          <a class="button strong" href={`#/log/reading?water=${id}`}>Log a reading</a>
        </section>
        <SeasonCharts sheet={sheet} today={today} />
      </div>
      <div class="two two-even">
        <div class="col">
          <SeasonSheet id={id} />
          <Treatments sheet={sheet} today={today} />
        </div>
        <div class="col">
          <Places sheet={sheet} />
          <section class="block"><h2>Size</h2><Size sheet={sheet} /></section>
          <Facts sheet={sheet} />
          <Overrides sheet={sheet} />
          <Notes sheet={sheet} today={today} />
          <Readings sheet={sheet} today={today} />
          <DeleteWater sheet={sheet} />
        </div>
      </div>
    </div>
  );
}
