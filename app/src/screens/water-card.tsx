// SPDX-License-Identifier: Apache-2.0
// One water on Today: its name above the water line, the ruler hanging below it, then the verdict,
// the figure, by when, the reason and the caution. Further business follows in single lines; holds
// that ask nothing are folded.
import type { JSX } from 'preact';
import { nearDay } from '../dates';
import { Figure, type Opened } from '../figure';
import { useGet } from '../live';
import { openedAmount, openedCited, openedClarity } from '../opened';
import { Cautions, VerdictWord } from '../parts';
import { href } from '../route';
import { Ruler } from '../ruler';
import type { Item, Quantities, WaterLine, WaterNow } from '../types';
import { because, inOrder, isQuiet, inputName, readable, sentence, settledBy, slug, SPACE, subjectText, VERDICT } from '../words';

/** "4 sacks of 50 lb (200 lb)" is too long for the large size: what is in brackets goes small. */
export function splitShown(shown: string): { main: string; rest: string } {
  const cut = shown.indexOf(' (');
  return cut > 0 ? { main: shown.slice(0, cut), rest: shown.slice(cut + 1) } : { main: shown, rest: '' };
}

export function measureLabel(measure: string, quantities: Quantities | undefined): string {
  const label = quantities?.quantities.find((one) => one.name === measure)?.label;
  return (label ?? measure.replace(/[-_]/g, ' ')).replace(/ \(.*\)$/, '');
}

/** The figure of an item: the amount; the thing to measure; or the reading that makes us hold. */
export function Answer({ item, water, line }: { item: Item; water: WaterNow; line: WaterLine | undefined }): JSX.Element | null {
  const { data: quantities } = useGet<Quantities>('/quantities');
  if (item.amount) {
    const { main, rest } = splitShown(item.amount.shown);
    return (
      <><Figure big of={openedAmount(item, item.amount, water.water, water.id)}>{readable(main)}</Figure>{rest && <span class="small quiet"> {readable(rest)}</span>}</>
    );
  }
  if (item.measure) return <span class="answer">{sentence(measureLabel(item.measure, quantities))}</span>;
  const cited = item.reasons.find((reason) => reason.decides)?.inputs[0];
  if (!cited) return null;
  const opened: Opened = cited.name === 'secchi' && line?.clarity ? openedClarity(line) : openedCited(cited, water.water, water.id);
  return <><Figure big of={opened}>{readable(cited.shown)}</Figure> <span class="small quiet">{inputName(cited.name)}</span></>;
}

export function logLink(item: Item, waterId: number): string | null {
  return item.measure ? `#/log/reading?water=${waterId}&what=${encodeURIComponent(item.measure)}` : null;
}

export function whenText(item: Item, today: string): string {
  if (item.verdict === 'hold') return item.look_again ? `look again ${nearDay(item.look_again, today)}` : '';
  if (!item.by) return '';
  return item.by <= today ? 'today' : `by ${nearDay(item.by, today)}`;
}

function OtherItem({ item, water }: { item: Item; water: WaterNow }): JSX.Element {
  return (
    <li>
      <a class={item.subject === 'stock on the shelf' ? 'other other-brief' : 'other'} href={href('why', water.id, slug(item.subject))}>
        <strong class={`verdict-small verdict-${item.verdict}`}>{VERDICT[item.verdict]}</strong>
        <span>{readable(item.headline)}</span>
      </a>
    </li>
  );
}

function Folded({ items, water }: { items: Item[]; water: WaterNow }): JSX.Element | null {
  if (!items.length) return null;
  const names = items.map((item) => subjectText(item.subject).toLowerCase()).join(', ');
  return (
    <details class="folded">
      <summary><span>Nothing to do about {names}</span></summary>
      <ul class="others">{items.map((item) => <OtherItem key={item.subject} item={item} water={water} />)}</ul>
    </details>
  );
}

export function WaterCard({ water, line, today, open }: {
  water: WaterNow; line: WaterLine | undefined; today: string; open: string | null;
}): JSX.Element {
  const [lead, ...others] = inOrder(water.items);
  const settled = others.filter((item) => settledBy(lead, item));
  const loud = others.filter((item) => !isQuiet(item) && !settledBy(lead, item));
  const quiet = others.filter(isQuiet);
  const log = lead ? logLink(lead, water.id) : null;
  const isOpen = lead !== undefined && open === slug(lead.subject);
  return (
    <article class={`card${open ? ' card-open' : ''}`} aria-label={water.water}>
      <header class="card-head">
        <h2><a class="name-link" href={href('water', water.id)}>{water.water}<span class="chevron" aria-hidden="true"> ›</span></a></h2>
        <span class="card-size">{line?.area && <span class="small quiet">{readable(line.area.shown)}</span>}<a class="text-link" href={href('map', water.id)} aria-label={`Map of ${water.water}`}>Map{SPACE}›</a></span>
      </header>
      <div class="card-water">
        {line && <Ruler size="small" low={line.aim_low} high={line.aim_high} alarm={line.alarm} last={line.clarity} earlier={line.clarity_history} today={today} />}
        <div class="card-body">
          {lead ? (
            <>
              <div class="card-verdict">
                <VerdictWord verdict={lead.verdict} danger={lead.urgency === 0 && lead.verdict !== 'hold'} />
                <span class="when">{whenText(lead, today)}</span>
                {log && <a class="button log-it" href={log}>Log it</a>}
                <p class="answer-line"><Answer item={lead} water={water} line={line} /></p>
              </div>
              <p class="because">
                {because(lead)}{' '}
                <a class="why-link" href={href('why', water.id, slug(lead.subject))} aria-current={isOpen ? 'true' : undefined} aria-label={`${lead.verdict === 'do' ? 'Why and how' : 'Why'}: ${water.water}`}>{lead.verdict === 'do' ? 'Why and how' : 'Why'}{SPACE}›</a>
              </p>
              {settled.length > 0 && <p class="small quiet">The same measurement settles: {settled.map((item) => subjectText(item.subject).toLowerCase()).join(', ')}.</p>}
              <Cautions texts={lead.cautions.slice(0, 1)} />
            </>
          ) : <p>Nothing is known yet. Lower the disk and log the depth.</p>}
        </div>
      </div>
      {loud.length > 0 && <ul class="others">{loud.map((item) => <OtherItem key={item.subject} item={item} water={water} />)}</ul>}
      <Folded items={quiet} water={water} />
    </article>
  );
}
