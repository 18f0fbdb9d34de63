// SPDX-License-Identifier: Apache-2.0
// One method: formula, source, limits, and the formula at work on the person's own numbers.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { Fault, read } from '../api';
import { Formula } from '../figure';
import { useGet } from '../live';
import { asFault, NotYet, sentenceOfFault } from '../parts';
import type { Method, MethodInput } from '../types';
import { registryNumber, unitText } from '../units';
import { basisText, sentence } from '../words';

function choicesOf(input: MethodInput): string[] {
  if (!input.choices) return [];
  return Array.isArray(input.choices) ? input.choices : input.choices.split('|');
}

function hintOf(input: MethodInput): string {
  const unit = unitText(input.unit);
  const range = input.low !== null && input.high !== null && input.high <= 1e5 && input.kind === 'number' ? `${registryNumber(input.low)} to ${registryNumber(input.high)}${unit ? ` ${unit}` : ''}` : '';
  const usual = input.default !== null && input.default !== '' ? `left empty: ${registryNumber(input.default)}` : input.optional ? 'may stay empty' : '';
  const list = input.kind === 'list' ? 'several, with commas between' : input.kind === 'clock' ? 'as 19:30' : input.kind === 'date' ? 'as 2026-04-15' : '';
  return [range, list, usual].filter(Boolean).join('; ');
}

function InputField({ input, value, onValue }: { input: MethodInput; value: string; onValue: (value: string) => void }): JSX.Element {
  const choices = choicesOf(input);
  const hint = hintOf(input);
  const unit = unitText(input.unit);
  return (
    <label class="field">
      <span class="field-label">{sentence(input.meaning || input.name)}{unit ? `, ${unit}` : ''}</span>
      {choices.length ? (
        <select value={value} onChange={(event) => onValue(event.currentTarget.value)}><option value="" />{choices.map((one) => <option key={one} value={one}>{one}</option>)}</select>
      ) : (
        <input type="text" value={value} autocomplete="off" onInput={(event) => onValue(event.currentTarget.value)} />
      )}
      {hint && <span class="small quiet">{hint}</span>}
    </label>
  );
}

const PAUSE_MS = 250;

/** Asks the server as the person types; the last good answer stays until a better one comes. */
function useAnswer(name: string, typed: Record<string, string>, ready: boolean): { answer: Method | null; fault: Fault | null } {
  const [answer, setAnswer] = useState<Method | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  const query = new URLSearchParams(Object.entries(typed).filter(([, value]) => value.trim() !== '')).toString();
  useEffect(() => {
    setFault(null);
    if (!ready || !query) { setAnswer(null); return undefined; }
    let live = true;
    const timer = setTimeout(() => {
      read<Method>(`/methods/${encodeURIComponent(name)}?${query}`)
        .then(({ data }) => { if (live) setAnswer(data); })
        .catch((error: unknown) => { if (live) { setAnswer(null); setFault(asFault(error)); } });
    }, PAUSE_MS);
    return () => { live = false; clearTimeout(timer); };
  }, [name, query, ready]);
  return { answer, fault };
}

function Results({ method, answer }: { method: Method; answer: Method | null }): JSX.Element {
  return (
    <dl class="rows results">
      {method.gives.map((give) => {
        const output = answer?.outputs?.[give.name];
        return <div class="row" key={give.name}><dt>{sentence(give.meaning || give.name)}</dt><dd>{output ? `${registryNumber(output.value)} ${unitText(output.unit)}` : <span class="quiet">–</span>}</dd></div>;
      })}
    </dl>
  );
}

function Calculator({ method, query }: { method: Method; query: URLSearchParams }): JSX.Element {
  const [typed, setTyped] = useState<Record<string, string>>(() => Object.fromEntries([...query.entries()].filter(([key]) => method.takes.some((input) => input.name === key))));
  const missing = method.takes.filter((input) => !input.optional && (input.default === null || input.default === '') && !(typed[input.name] ?? '').trim());
  const { answer, fault } = useAnswer(method.method, typed, missing.length === 0);
  return (
    <section class="block" aria-label="Try it">
      <h2>Try it</h2>
      <p class="quiet">Any unit is understood: 12 acre, 5 ha, 68 degF. A bare number takes the unit shown.</p>
      <form class="form form-grid" onSubmit={(event) => event.preventDefault()}>
        {method.takes.map((input) => <InputField key={input.name} input={input} value={typed[input.name] ?? ''} onValue={(value) => setTyped((before) => ({ ...before, [input.name]: value }))} />)}
      </form>
      <div role="status" class="calc-status">
        {fault && <p class="refused"><strong>No answer.</strong> {sentenceOfFault(fault)}</p>}
        {!fault && missing.length > 0 && Object.keys(typed).length > 0 && <p class="quiet">Still needed: {missing.map((input) => input.meaning || input.name).join('; ')}.</p>}
      </div>
      <Results method={method} answer={answer} />
    </section>
  );
}

export function MethodView({ name, query }: { name: string; query: URLSearchParams }): JSX.Element {
  const { data, fault } = useGet<Method>(`/methods/${encodeURIComponent(name)}`);
  if (!data) return <NotYet fault={fault} what="the method" />;
  return (
    <article class="method">
      <a class="button back phone-only" href="#/methods">‹ Methods</a>
      <header class="why-head"><p class="small quiet">{data.method}</p><h1>{data.title}</h1><p>{data.purpose}</p></header>
      <Formula text={data.formula} />
      <Calculator method={data} query={query} />
      <section class="block"><h2>Source</h2><p>{data.source}</p><p class="small quiet">{sentence(basisText(data.basis))}</p></section>
      {data.limits && <section class="block"><h2>Where it holds</h2><p>{data.limits}</p></section>}
    </article>
  );
}
