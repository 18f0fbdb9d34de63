// SPDX-License-Identifier: Apache-2.0
// The reasons behind one verdict: what to do and how, the cautions, the materials side by side, each
// rule with what it rests on; and the owner's right to set a rule aside.
import type { JSX } from 'preact';
import { nearDay } from '../dates';
import { Figure } from '../figure';
import { openedChoice, openedCited } from '../opened';
import { Cautions, Name, VerdictWord } from '../parts';
import { href } from '../route';
import type { Choice, Item, Reason, WaterLine, WaterNow } from '../types';
import { activePrice, basisText, because, formText, inOrder, inputName, readable, sentence, slug, subjectText, VERDICT } from '../words';
import { count } from '../units';
import { OverrideForm, TakeBack } from './override';
import { Answer, logLink, splitShown, whenText } from './water-card';

/** What the name itself does not say already. */
function describe(choice: Choice): string[] {
  return [formText(choice.form), choice.grade].filter((word) => word && !choice.material.includes(word));
}

function Split({ shown }: { shown: string }): JSX.Element {
  const { main, rest } = splitShown(shown);
  return <>{readable(main)}{rest && <span class="small quiet">{readable(rest.replace(/[()]/g, ''))}</span>}</>;
}

function Choices({ choices }: { choices: Choice[] }): JSX.Element | null {
  if (!choices.length) return null;
  const priced = choices.some((choice) => choice.cost);
  return (
    <section class="block">
      <h2>With which material</h2>
      <table class="table">
        <thead><tr><th scope="col">Material</th><th scope="col">Put out</th><th scope="col">On hand</th>{priced && <th scope="col" class="num">Cost</th>}</tr></thead>
        <tbody>
          {choices.map((choice) => (
            <tr key={choice.material} class={choice.chosen ? 'chosen' : ''}>
              <th scope="row">
                <Name of={choice.material} />
                <span class="small quiet">{[choice.chosen ? 'chosen' : '', ...describe(choice)].filter(Boolean).join(' · ')}</span>
              </th>
              <td class="nowrap"><Split shown={choice.shown} /></td>
              <td>{choice.left === null ? 'not counted' : count(choice.left)}{choice.to_buy ? <span class="small quiet">buy {count(choice.to_buy)}</span> : null}</td>
              {priced && (
                <td class="num">
                  {choice.cost ? <Figure of={openedChoice(choice, 'cost')} /> : 'no price'}
                  {choice.price_per_active && <span class="small quiet">{activePrice(choice.price_per_active, choice.active_per, choice.active)}</span>}
                </td>
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function ReasonView({ reason, water, today }: { reason: Reason; water: WaterNow; today: string }): JSX.Element {
  return (
    <li class={`reason${reason.decides ? ' reason-decides' : ''}${reason.set_aside ? ' reason-aside' : ''}`}>
      <p>{reason.decides && <span class="tag">decides</span>}{reason.set_aside && <span class="tag">set aside</span>}{readable(reason.text)}</p>
      {reason.set_aside && <p>Your word: {reason.set_aside}</p>}
      {reason.inputs.length > 0 && (
        <dl class="rows rows-tight">
          {reason.inputs.map((input) => (
            <div class="row" key={input.name}>
              <dt>{sentence(inputName(input.name))}</dt>
              <dd><Figure of={openedCited(input, water.water, water.id)}>{readable(input.shown)}</Figure>{input.date && <span class="small quiet"> · {nearDay(input.date, today)}</span>}</dd>
            </div>
          ))}
        </dl>
      )}
      <details class="source">
        <summary><span>Where this comes from</span></summary>
        <p class="small">{reason.source} ({basisText(reason.basis)})</p>
        <p class="small"><a class="button" href={href('rules', reason.rule)}>The rule “{reason.rule}”</a></p>
      </details>
      {reason.set_aside ? <TakeBack waterId={water.id} rule={reason.rule} /> : <OverrideForm waterId={water.id} water={water.water} rule={reason.rule} />}
    </li>
  );
}

function doneLink(item: Item, water: WaterNow): string {
  const choice = item.choices.find((one) => one.chosen);
  const query = new URLSearchParams({ water: String(water.id) });
  if (choice) query.set('material', choice.material);
  if (choice?.packages) query.set('amount', count(choice.packages));
  if (item.subject === 'lime') query.set('purpose', 'lime');
  if (item.subject === 'feeding the bloom') query.set('purpose', 'feed');
  return `#/log/treatment?${query.toString()}`;
}

function SubjectTabs({ water, item }: { water: WaterNow; item: Item }): JSX.Element | null {
  const items = inOrder(water.items);
  if (items.length < 2) return null;
  return (
    <nav class="subjects" aria-label={`Subjects of ${water.water}`}>
      <h2>Also at {water.water}</h2>
      {items.filter((one) => one.subject !== item.subject).map((one) => (
        <a key={one.subject} class="subject" href={href('why', water.id, slug(one.subject))}>
          {subjectText(one.subject)} <span class="small">{VERDICT[one.verdict].toLowerCase()}</span>
        </a>
      ))}
    </nav>
  );
}

export function Why({ water, item, line, today }: { water: WaterNow; item: Item; line: WaterLine | undefined; today: string }): JSX.Element {
  const log = logLink(item, water.id);
  const decides = item.reasons.filter((reason) => reason.decides);
  const others = item.reasons.filter((reason) => !reason.decides);
  return (
    <article class="why">
      <a class="button back phone-only" href="#/">‹ Today</a>
      <header class="why-head">
        <p class="small quiet">{subjectText(item.subject)}</p>
        <h1>{water.water}</h1>
        <p class="verdict-line"><VerdictWord verdict={item.verdict} danger={item.urgency === 0 && item.verdict !== 'hold'} /><span class="when">{whenText(item, today)}</span></p>
        <p class="answer-line"><Answer item={item} water={water} line={line} /></p>
        <p class="because">{because(item)}</p>
      </header>
      <Cautions texts={item.cautions} />
      {item.steps.length > 0 && (
        <section class="block">
          <h2>{item.verdict === 'ask' ? 'How to measure it' : 'How'}</h2>
          <ol class="steps">{item.steps.map((step) => <li key={step}>{readable(step)}</li>)}</ol>
        </section>
      )}
      <p class="acts">
        {log && <a class="button strong" href={log}>Log it</a>}
        {item.verdict === 'do' && <a class="button strong" href={doneLink(item, water)}>Write down that it is done</a>}
        <a class="button" href={href('water', water.id)}>All of {water.water}</a>
      </p>
      <Choices choices={item.choices} />
      <section class="block">
        <h2>Why</h2>
        <ul class="reasons">{decides.map((reason) => <ReasonView key={reason.rule} reason={reason} water={water} today={today} />)}</ul>
        {others.length > 0 && (
          <details class="folded" open={decides.length === 0}>
            <summary><span>Also looked at: {others.length}</span></summary>
            <ul class="reasons">{others.map((reason) => <ReasonView key={reason.rule} reason={reason} water={water} today={today} />)}</ul>
          </details>
        )}
      </section>
      <SubjectTabs water={water} item={item} />
    </article>
  );
}
