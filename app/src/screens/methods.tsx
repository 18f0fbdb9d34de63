// SPDX-License-Identifier: Apache-2.0
// Methods: where each number comes from, and a place to try other numbers.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { useGet } from '../live';
import { NotYet } from '../parts';
import { href } from '../route';
import type { MethodLine, Methods } from '../types';
import { basisText } from '../words';
import { MethodView } from './method';

function matches(method: MethodLine, words: string): boolean {
  const text = `${method.name} ${method.title} ${method.purpose}`.toLowerCase();
  return words.toLowerCase().split(/\s+/).every((word) => text.includes(word));
}

export function MethodsScreen({ name, query }: { name: string | null; query: URLSearchParams }): JSX.Element {
  const { data, fault } = useGet<Methods>('/methods');
  const [words, setWords] = useState('');
  if (!data) return <NotYet fault={fault} what="the methods" />;
  const found = data.methods.filter((method) => matches(method, words));
  const shown = name ?? found[0]?.name ?? null;
  return (
    <div class="two" data-open={name !== null}>
      <section class="col col-a" aria-label="All methods">
        <header class="screen-head"><h1>Methods</h1><p class="quiet">Every figure on these pages comes from one of these, or from your own log.</p></header>
        <p class="acts"><a class="button" href="#/rules">The rules and their limits</a></p>
        <label class="field"><span class="field-label">Find</span><input type="search" value={words} autocomplete="off" onInput={(event) => setWords(event.currentTarget.value)} /></label>
        {found.length === 0 && <p class="quiet">No method has all of these words. Fewer words find more.</p>}
        <ul class="links">
          {found.map((method) => (
            <li key={method.name}>
              <a class="link-row link-tall" href={href('methods', method.name)} aria-current={method.name === shown ? 'true' : undefined}>
                <span><strong>{method.title}</strong><span class="small quiet">{method.purpose}</span></span>
              </a>
            </li>
          ))}
        </ul>
      </section>
      <section class="col col-b" aria-label="The method">
        {shown ? <MethodView key={`${shown}?${query.toString()}`} name={shown} query={query} /> : <p class="quiet">{basisText('computed')}</p>}
      </section>
    </div>
  );
}
