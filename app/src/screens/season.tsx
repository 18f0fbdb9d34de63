// SPDX-License-Identifier: Apache-2.0
// The season ahead at one water: the doses to expect, what they take and cost, and what that assumes.
import type { JSX } from 'preact';
import { longDay, shortDay } from '../dates';
import { Figure } from '../figure';
import { useGet, version } from '../live';
import type { Season } from '../types';
import { count } from '../units';
import { plural, readable, sentence } from '../words';

export function SeasonSheet({ id }: { id: number }): JSX.Element | null {
  const { data, fault } = useGet<Season>(`/season/${id}`);
  const today = version.get()?.today ?? '';
  if (fault) return <section class="block"><h2>The season ahead</h2><p class="quiet">{sentence(fault.message)}</p></section>;
  if (!data) return null;
  const { doses, total } = data;
  return (
    <section class="block">
      <h2>The season ahead</h2>
      {data.note && <p>{data.note}</p>}
      {doses.length > 0 && (
        <table class="table">
          <thead><tr><th scope="col">Day</th><th scope="col">Material</th><th scope="col">Amount</th><th scope="col" class="num">Cost</th></tr></thead>
          <tbody>
            {doses.map((dose) => (
              <tr key={dose.number}>
                <th scope="row">{shortDay(dose.date, today)}{dose.first && <span class="small quiet">opening</span>}</th>
                <td>{dose.material}</td>
                <td>{readable(dose.mass.shown)}{dose.packages !== null && <span class="small quiet">{plural(Number(count(dose.packages)), 'package')}</span>}</td>
                <td class="num">{dose.cost?.shown ?? ''}</td>
              </tr>
            ))}
          </tbody>
          {total.packages !== null && (
            <tfoot><tr>
              <th scope="row">In all</th><td />
              <td>{plural(Number(count(total.packages)), 'package')}</td>
              <td class="num">{total.cost && (
                <Figure of={{
                  title: `The season of ${data.water}`, shown: total.cost.shown, what: `All doses from ${longDay(data.from)} to ${longDay(data.to)}, whole packages at today's prices.`,
                  inputs: doses.slice(0, 12).map((dose) => ({ name: shortDay(dose.date, today), shown: dose.cost?.shown ?? 'no price' })), changes: data.assumptions.join(' '),
                }} />
              )}</td>
            </tr></tfoot>
          )}
        </table>
      )}
      {data.assumptions.length > 0 && (
        <details class="folded"><summary><span>What this assumes</span></summary><ul class="plain-list">{data.assumptions.map((text) => <li key={text}>{text}</li>)}</ul></details>
      )}
    </section>
  );
}
