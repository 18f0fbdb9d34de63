// SPDX-License-Identifier: Apache-2.0
// The rules behind every verdict, and the numbers they judge by.
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { useGet } from '../live';
import { NotYet } from '../parts';
import type { Rule, Rules } from '../types';
import { basisText, plural, readable, sentence, subjectText } from '../words';

export function RulesScreen({ id }: { id: string | null }): JSX.Element {
  const { data, fault } = useGet<Rules>('/rules');
  useEffect(() => { if (id && data) document.getElementById(`rule-${id}`)?.scrollIntoView({ block: 'center' }); }, [id, data !== undefined]);
  if (!data) return <NotYet fault={fault} what="the rules" />;
  const subjects = [...new Set(data.rules.map((rule) => rule.subject))];
  return (
    <div class="two">
      <section class="col" aria-label="The rules">
        <a class="button back" href="#/methods">‹ Methods</a>
        <header class="screen-head"><h1>Rules</h1><p class="quiet">A verdict is what these make of your log. Any of them can be set aside for one water, with a reason.</p></header>
        {subjects.map((subject) => (
          <RulesOf key={subject} subject={subject} rules={data.rules.filter((rule) => rule.subject === subject)} marked={id} />
        ))}
      </section>
      <section class="col" aria-label="The numbers they judge by">
        <h2>The numbers they judge by</h2>
        <p class="quiet">Services differ. These are changed in <a class="text-link" href="#/settings">Settings ›</a></p>
        <dl class="rows">
          {data.program.map((row) => (
            <div class="row" key={row.key}><dt>{sentence(row.meaning)}<span class="small quiet">{row.source} ({basisText(row.basis)})</span></dt><dd>{readable(row.value.shown)}</dd></div>
          ))}
        </dl>
      </section>
    </div>
  );
}

function RulesOf({ subject, rules, marked }: { subject: string; rules: Rule[]; marked: string | null }): JSX.Element {
  return (
    <details class="folded rule-group" open={rules.some((rule) => rule.id === marked)}>
      <summary><h2>{subjectText(subject)}</h2><span>{plural(rules.length, 'rule')}</span></summary>
      <ul>{rules.map((rule) => <RuleView key={rule.id} rule={rule} marked={rule.id === marked} />)}</ul>
    </details>
  );
}

function RuleView({ rule, marked }: { rule: Rule; marked: boolean }): JSX.Element {
  return (
    <li id={`rule-${rule.id}`} class={marked ? 'rule rule-marked' : 'rule'}>
      <p>{sentence(rule.condition)}</p>
      <p class="small quiet">{rule.id} · {rule.source} ({basisText(rule.basis)})</p>
    </li>
  );
}
