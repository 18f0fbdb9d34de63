// SPDX-License-Identifier: Apache-2.0
// A figure that opens: pressed, it shows what it is, the formula, the inputs with their dates, the
// source, the range and what would change it.
import type { ComponentChildren, JSX } from 'preact';
import { nearDay, shortDay } from './dates';
import { useGet, version } from './live';
import { openSheet, SheetLink } from './sheet';
import type { Method, Quantities } from './types';
import { registryNumber, unitText } from './units';
import { basisText, readable, sentence } from './words';

export interface FigureInput { name: string; shown: string; date?: string | null; opens?: Opened }

/** All that a figure has to say for itself. */
export interface Opened {
  title: string;
  shown: string;
  what: string;
  date?: string | null | undefined;
  /** A reading: its name in /quantities, for how it is taken. */
  quantity?: string | undefined;
  /** A method of the registry with the inputs it was given, for formula, source and limits. */
  method?: string | null | undefined;
  query?: string | null | undefined;
  inputs?: FigureInput[] | undefined;
  source?: string | undefined;
  basis?: string | undefined;
  range?: string | undefined;
  changes?: string | undefined;
  link?: { to: string; text: string } | undefined;
}

export function openFigure(opened: Opened): void {
  openSheet(opened.title, () => <FigureSheet of={opened} />);
}

export function Figure({ of, big, children }: { of: Opened; big?: boolean; children?: ComponentChildren }): JSX.Element {
  return (
    <button type="button" class={big ? 'figure answer' : 'figure'} aria-haspopup="dialog"
      onClick={(event) => { event.stopPropagation(); openFigure(of); }}>
      <span>{children ?? readable(of.shown)}</span>
    </button>
  );
}

function Row({ name, children }: { name: ComponentChildren; children: ComponentChildren }): JSX.Element {
  return <div class="row"><dt>{name}</dt><dd>{children}</dd></div>;
}

function InputRow({ input }: { input: FigureInput }): JSX.Element {
  const today = version.get()?.today;
  return (
    <Row name={sentence(input.name)}>
      {input.opens ? <Figure of={input.opens}>{readable(input.shown)}</Figure> : readable(input.shown)}
      {input.date && <span class="small quiet"> · {today ? nearDay(input.date, today) : shortDay(input.date)}</span>}
    </Row>
  );
}

/** One equation a line. */
export function Formula({ text }: { text: string }): JSX.Element {
  return <p class="formula">{text.replace(/;\s+/g, '\n').replace(/ x /g, ' × ')}</p>;
}

function MethodPart({ name, query }: { name: string; query: string | null | undefined }): JSX.Element {
  const path = `/methods/${encodeURIComponent(name)}${query ? `?${query}` : ''}`;
  const { data, fault } = useGet<Method>(path);
  if (fault) return <p class="small">The formula could not be fetched: {fault.message}</p>;
  if (!data) return <p class="small" aria-busy="true">Fetching the formula.</p>;
  return (
    <>
      <h3>Formula</h3>
      <p>{data.purpose}</p>
      <Formula text={data.formula} />
      {data.inputs && (
        <dl class="rows">
          {Object.entries(data.inputs).map(([key, input]) => {
            const meaning = data.takes.find((one) => one.name === key)?.meaning;
            return <Row key={key} name={meaning ? sentence(meaning) : key}>{registryNumber(input.value)} {unitText(input.unit)}</Row>;
          })}
        </dl>
      )}
      {data.outputs && (
        <>
          <h3>Gives</h3>
          <dl class="rows">
            {Object.entries(data.outputs).map(([key, output]) => {
              const meaning = data.gives.find((one) => one.name === key)?.meaning;
              return <Row key={key} name={meaning ? sentence(meaning) : key}>{registryNumber(output.value)} {unitText(output.unit)}</Row>;
            })}
          </dl>
        </>
      )}
      <h3>Source</h3>
      <p>{data.source} <span class="small quiet">({basisText(data.basis)})</span></p>
      {data.limits && <><h3>Where it holds</h3><p>{data.limits}</p></>}
      <SheetLink to={`#/methods/${encodeURIComponent(name)}${query ? `?${query}` : ''}`}>Try other numbers</SheetLink>
    </>
  );
}

function HowTaken({ name }: { name: string }): JSX.Element | null {
  const { data } = useGet<Quantities>('/quantities');
  const quantity = data?.quantities.find((one) => one.name === name);
  return quantity?.how ? <><h3>How it is taken</h3><p>{quantity.how}</p></> : null;
}

function FigureSheet({ of }: { of: Opened }): JSX.Element {
  const today = version.get()?.today;
  return (
    <>
      <p class="answer">{readable(of.shown)}</p>
      {of.date && <p class="small quiet">From {shortDay(of.date, today)}{today ? ` (${nearDay(of.date, today)})` : ''}</p>}
      <p>{of.what}</p>
      {of.range && <><h3>Range</h3><p>{of.range}</p></>}
      {of.inputs && of.inputs.length > 0 && (
        <><h3>Rests on</h3><dl class="rows">{of.inputs.map((input, at) => <InputRow key={at} input={input} />)}</dl></>
      )}
      {of.quantity && <HowTaken name={of.quantity} />}
      {of.method && <MethodPart name={of.method} query={of.query} />}
      {of.source && !of.method && <><h3>Source</h3><p>{of.source} {of.basis && <span class="small quiet">({basisText(of.basis)})</span>}</p></>}
      {of.changes && <><h3>What would change this</h3><p>{of.changes}</p></>}
      {of.link && <SheetLink to={of.link.to}>{of.link.text}</SheetLink>}
    </>
  );
}
