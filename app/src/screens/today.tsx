// SPDX-License-Identifier: Apache-2.0
// Today: what each water needs now, in one line each, the most urgent first; beside it (or, on the
// phone, on its own page) the reasons of the one that was chosen.
import type { JSX } from 'preact';
import { useCell } from '../cell';
import { longDay } from '../dates';
import { useGet, version } from '../live';
import { Empty, NotYet } from '../parts';
import { href } from '../route';
import type { Item, Now, Quantities, WaterLine, WaterNow, Waters } from '../types';
import { inOrder, plural, readable, slug, VERDICT, watersInOrder } from '../words';
import { DaySheet } from './day-sheet';
import { measureLabel, splitShown, WaterCard, whenText } from './water-card';
import { Why } from './why';

function summary(waters: WaterNow[]): string {
  const leads = waters.map((water) => inOrder(water.items)[0]?.verdict);
  const count = (verdict: string): number => leads.filter((lead) => lead === verdict).length;
  const said = [
    count('do') ? `${count('do')} to do` : '', count('ask') ? `${count('ask')} to measure` : '', count('hold') ? `${count('hold')} to leave alone` : '',
  ].filter(Boolean);
  return `${plural(waters.length, 'water')}: ${said.join(', ') || 'nothing judged yet'}.`;
}

function Head({ now, place }: { now: Now; place: string }): JSX.Element {
  return (
    <header class="screen-head today-head">
      <p class="small quiet phone-only">{place}</p>
      <h1>{longDay(now.as_of)}</h1>
      <p class="screen-sum">{summary(now.waters)}</p>
    </header>
  );
}

/** On the phone: every water in one line, so that the answer needs no scrolling. */
function Glance({ waters, today }: { waters: WaterNow[]; today: string }): JSX.Element | null {
  const { data: quantities } = useGet<Quantities>('/quantities');
  if (waters.length < 2) return null;
  return (
    <ul class="glance phone-only">
      {waters.map((water) => {
        const lead = inOrder(water.items)[0];
        if (!lead) return null;
        const figure = lead.amount ? readable(splitShown(lead.amount.shown).main) : lead.measure ? measureLabel(lead.measure, quantities) : '';
        return (
          <li key={water.id}>
            <a class="glance-line" href={href('why', water.id, slug(lead.subject))}>
              <strong class={`verdict-small verdict-${lead.verdict}${lead.urgency === 0 && lead.verdict !== 'hold' ? ' verdict-danger' : ''}`}>{VERDICT[lead.verdict]}</strong>
              <span class="glance-name">{water.water}</span>
              <span class="glance-figure">{figure}<span class="small quiet">{whenText(lead, today)}</span></span>
            </a>
          </li>
        );
      })}
    </ul>
  );
}

export function NoWaters(): JSX.Element {
  return (
    <Empty title="No water yet">
      <p>Begin with a name and an area. A guess from the map will do; it can be mended later, and the page says what it would change.</p>
      <a class="button strong" href="#/water/new">Add a water</a>
    </Empty>
  );
}

function chosenItem(waters: WaterNow[], waterId: number | null, subject: string | null): { water: WaterNow; item: Item } | null {
  const water = waterId === null ? waters[0] : waters.find((one) => one.id === waterId);
  if (!water) return null;
  const items = inOrder(water.items);
  const item = (subject && items.find((one) => slug(one.subject) === subject)) || items[0];
  return item ? { water, item } : null;
}

export function TodayScreen({ waterId, subject }: { waterId: number | null; subject: string | null }): JSX.Element {
  const now = useGet<Now>('/now');
  const waters = useGet<Waters>('/waters');
  const place = useCell(version)?.place ?? '';
  if (!now.data || !waters.data) return <NotYet fault={now.fault ?? waters.fault} what="today" />;
  if (!now.data.waters.length) return <NoWaters />;
  const ordered = watersInOrder(now.data.waters);
  const lineOf = (id: number): WaterLine | undefined => waters.data?.waters.find((one) => one.id === id);
  const chosen = chosenItem(ordered, waterId, subject);
  return (
    <>
      <div class="two screen-only" data-open={waterId !== null}>
        <section class="col col-a" aria-label="Every water today">
          <Head now={now.data} place={place} />
          <Glance waters={ordered} today={now.data.as_of} />
          <div class="cards">
            {ordered.map((water) => (
              <WaterCard key={water.id} water={water} line={lineOf(water.id)} today={now.data?.as_of ?? ''}
                open={chosen?.water.id === water.id ? slug(chosen.item.subject) : null} />
            ))}
          </div>
          <p class="after"><a class="button" href="#/day-sheet">Day sheet to print</a> <a class="button" href="#/water/new">Add a water</a></p>
        </section>
        <section class="col col-b" aria-label="The reasons">
          {chosen
            ? <Why water={chosen.water} item={chosen.item} line={lineOf(chosen.water.id)} today={now.data.as_of} />
            : <Empty title="That water is gone"><p>It was taken away, or never was. The others are on Today.</p><a class="button strong" href="#/">To Today</a></Empty>}
        </section>
      </div>
      <div class="print-only"><DaySheet now={now.data} waters={waters.data.waters} place={place} /></div>
    </>
  );
}
