// SPDX-License-Identifier: Apache-2.0
// The day sheet for the crew, for paper: per water what to do, with what, how, what to beware of, the
// ruler to tick the reading on, and lines for what was really done. One ink.
import type { JSX } from 'preact';
import { longDay, nearDay } from '../dates';
import { useGet, version } from '../live';
import { NotYet } from '../parts';
import { Ruler } from '../ruler';
import type { Item, Now, WaterLine, WaterNow, Waters } from '../types';
import { count } from '../units';
import { because, inOrder, isQuiet, readable, settledBy, subjectText, VERDICT, watersInOrder } from '../words';

/** Buying is no business of the crew on the water. */
const SHELF = 'stock on the shelf';

function PaperItem({ item, today }: { item: Item; today: string }): JSX.Element {
  const choice = item.choices.find((one) => one.chosen);
  const when = item.verdict === 'hold' ? item.look_again && `look again ${nearDay(item.look_again, today)}` : item.by && (item.by <= today ? 'today' : `by ${nearDay(item.by, today)}`);
  return (
    <div class="paper-item">
      <p><strong class="paper-verdict">{VERDICT[item.verdict]}</strong> {because(item)}{when ? ` (${when})` : ''}</p>
      {choice && item.verdict === 'do' && <p><strong>Take {readable(choice.shown)} of {readable(choice.material)}</strong>{choice.left === null ? '' : `; ${count(choice.left)} on the shelf`}{choice.to_buy ? `, ${count(choice.to_buy)} to be bought first` : ''}.</p>}
      {item.verdict !== 'hold' && item.steps.length > 0 && <ol class="paper-steps">{item.steps.map((step) => <li key={step}>{readable(step)}</li>)}</ol>}
      {item.cautions.length > 0 && <ul class="paper-cautions">{item.cautions.map((text) => <li key={text}>Caution: {text}</li>)}</ul>}
    </div>
  );
}

function PaperLines({ item }: { item: Item | undefined }): JSX.Element {
  return (
    <div class="paper-lines">
      <p><span>Disk</span><span>Colour</span><span>Hour</span></p>
      {item?.verdict === 'do' && <p><span>Put out</span><span>Where</span><span>Wind</span></p>}
      <p><span class="paper-wide">Seen, done, by whom</span></p>
    </div>
  );
}

function PaperWater({ water, line, today }: { water: WaterNow; line: WaterLine | undefined; today: string }): JSX.Element {
  const items = inOrder(water.items);
  const shown = items.filter((item, at) => at === 0 || (!isQuiet(item) && !settledBy(items[0], item) && item.subject !== SHELF));
  const quiet = items.filter((item, at) => at > 0 && isQuiet(item) && item.subject !== SHELF);
  return (
    <section class="paper-water">
      <header><h2>{water.water}</h2>{line?.area && <span>{readable(line.area.shown)}</span>}</header>
      <div class="paper-body">
        {line && <Ruler size="paper" low={line.aim_low} high={line.aim_high} alarm={line.alarm} last={line.clarity} earlier={[]} today={today} />}
        <div>
          {shown.map((item) => <PaperItem key={item.subject} item={item} today={today} />)}
          {quiet.length > 0 && <p class="paper-quiet">Nothing to do about {quiet.map((item) => subjectText(item.subject).toLowerCase()).join(', ')}.</p>}
          <PaperLines item={shown[0]} />
        </div>
      </div>
    </section>
  );
}

export function DaySheet({ now, waters, place }: { now: Now; waters: WaterLine[]; place: string }): JSX.Element {
  return (
    <article class="paper" aria-label="Day sheet">
      <header class="paper-head"><h1>{longDay(now.as_of, true)}</h1><p>{place}</p></header>
      <div class="paper-lines paper-weather"><p><span>Wind</span><span>Rain ahead</span><span>Sky</span><span>Crew</span></p></div>
      {watersInOrder(now.waters).map((water) => <PaperWater key={water.id} water={water} line={waters.find((one) => one.id === water.id)} today={now.as_of} />)}
      <p class="paper-foot">Product labels, local rules and permits go before this sheet. Life jackets on the water; nobody alone in a loaded boat.</p>
    </article>
  );
}

export function DaySheetScreen(): JSX.Element {
  const now = useGet<Now>('/now');
  const waters = useGet<Waters>('/waters');
  if (!now.data || !waters.data) return <NotYet fault={now.fault ?? waters.fault} what="the day sheet" />;
  return (
    <>
      <div class="screen-only paper-acts">
        <a class="button back" href="#/">‹ Today</a>
        <button type="button" class="button strong" onClick={() => print()}>Print it</button>
      </div>
      <div class="paper-frame"><DaySheet now={now.data} waters={waters.data.waters} place={version.get()?.place ?? ''} /></div>
    </>
  );
}
