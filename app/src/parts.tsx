// SPDX-License-Identifier: Apache-2.0
// Small pieces that several screens share.
import type { ComponentChildren, JSX } from 'preact';
import { Fault } from './api';
import { CautionMark } from './marks';
import { refresh } from './live';
import type { Verdict } from './types';
import { VERDICT } from './words';

export function Cautions({ texts }: { texts: string[] }): JSX.Element | null {
  if (!texts.length) return null;
  return (
    <ul class="cautions" aria-label="Caution">
      {texts.map((text) => <li key={text}><CautionMark /><span>{text}</span></li>)}
    </ul>
  );
}

export function VerdictWord({ verdict, danger }: { verdict: Verdict; danger?: boolean }): JSX.Element {
  return <strong class={`verdict verdict-${verdict}${danger ? ' verdict-danger' : ''}`}>{VERDICT[verdict]}</strong>;
}

/** While the first answer is on its way, and when it cannot be had. */
export function NotYet({ fault, what }: { fault: Fault | undefined; what: string }): JSX.Element {
  if (!fault) return <p class="lone quiet" aria-busy="true">Fetching {what}.</p>;
  return (
    <div class="empty" role="alert">
      <h2>{sentenceOfFault(fault)}</h2>
      <p>Nothing was changed. {fault.offline ? 'Start the server again, or come back into reach of it.' : 'Try again; if it stays so, see the log of the server.'}</p>
      <button type="button" class="button strong" onClick={() => void refresh()}>Try again</button>
    </div>
  );
}

export function sentenceOfFault(fault: Fault): string {
  const text = fault.message.trim();
  const capital = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?]$/.test(capital) ? capital : `${capital}.`;
}

/** What was wrong, what was kept, what to do. */
export function Refused({ fault, kept }: { fault: Fault | null; kept: string }): JSX.Element | null {
  if (!fault) return null;
  return (
    <div class="refused" role="alert">
      <p><strong>Not saved.</strong> {sentenceOfFault(fault)}</p>
      <p class="small">{kept}</p>
    </div>
  );
}

export function asFault(error: unknown): Fault {
  return error instanceof Fault ? error : new Fault(`The page stumbled: ${String(error)}. Reload it.`, 'internal', null, 0);
}

export function Empty({ title, children }: { title: string; children: ComponentChildren }): JSX.Element {
  return <div class="empty"><h2>{title}</h2>{children}</div>;
}

/** A material's name, its grade kept on one line. */
export function Name({ of }: { of: string }): JSX.Element {
  const parts = of.split(/(\d+-\d+-\d+)/);
  return <>{parts.map((part, at) => (at % 2 ? <span class="nowrap" key={at}>{part}</span> : part))}</>;
}

/** Buttons of which one is pressed: waters, quantities, units. */
export function Chips<T extends string | number>(props: {
  label: string; options: Array<{ value: T; text: string }>; chosen: T | null; onChoose: (value: T) => void; small?: boolean; even?: boolean; children?: ComponentChildren;
}): JSX.Element {
  return (
    <div class={props.small ? 'chips chips-small' : props.even ? 'chips chips-even' : 'chips'} role="group" aria-label={props.label}>
      {props.options.map(({ value, text }) => (
        <button type="button" key={value} class="chip" aria-pressed={value === props.chosen} onClick={() => props.onChoose(value)}>{text}</button>
      ))}
      {props.children}
    </div>
  );
}

export function Field({ label, hint, children, wide }: { label: string; hint?: string; children: ComponentChildren; wide?: boolean }): JSX.Element {
  return (
    <label class={wide ? 'field field-wide' : 'field'}>
      <span class="field-label">{label}</span>
      {children}
      {hint && <span class="small quiet">{hint}</span>}
    </label>
  );
}
