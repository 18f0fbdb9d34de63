// SPDX-License-Identifier: Apache-2.0
// Log: write down what was seen or done. Which water, what, the number; day and unit are already
// right; one press saves. Beside it the last entries, each with its undo.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Fault } from '../api';
import { useGet } from '../live';
import { NotYet } from '../parts';
import { recall, remember } from '../prefs';
import { send, type Sent } from '../queue';
import { route } from '../route';
import type { Now, Waters } from '../types';
import { NoWaters } from './today';
import { NoteForm } from './log-note';
import { Recent } from './log-recent';
import { ReadingForm } from './log-reading';
import { SavedLine, type Saved } from './log-saved';
import { TreatmentForm } from './log-treatment';
import { WeatherForm } from './log-weather';
import { asFault } from '../parts';

/** What the three forms share. */
export interface FormProps {
  waters: Waters['waters'];
  water: number;
  onWater: (id: number) => void;
  query: URLSearchParams;
  /** Saves; true when it was taken (or kept on this device), false when refused. */
  save: (path: string, body: Record<string, unknown>, shown: string, typed: string) => Promise<boolean>;
  fault: Fault | null;
  /** Text to put back into the field after an undo. */
  putBack: string | null;
}

function firstWater(waters: Waters['waters'], query: URLSearchParams): number {
  const asked = Number(query.get('water') ?? recall('water') ?? 0);
  return waters.some((water) => water.id === asked) ? asked : (waters[0]?.id ?? 0);
}

function Modes({ mode, query }: { mode: string; query: URLSearchParams }): JSX.Element {
  const kept = query.get('water') ? `?water=${query.get('water')}` : '';
  return (
    <nav class="modes" aria-label="What to write down">
      {[['reading', 'Reading'], ['treatment', 'Put out'], ['note', 'Note'], ['weather', 'Weather']].map(([key, text]) => (
        <a key={key} class="mode" href={`#/log/${key}${kept}`} aria-current={mode === key ? 'page' : undefined}>{text}</a>
      ))}
    </nav>
  );
}

export function LogScreen({ mode, query }: { mode: string; query: URLSearchParams }): JSX.Element {
  const { data, fault } = useGet<Waters>('/waters');
  if (!data) return <NotYet fault={fault} what="the waters" />;
  if (!data.waters.length) return <NoWaters />;
  return <LogForms mode={mode} query={query} waters={data.waters} />;
}

function LogForms({ mode, query, waters }: { mode: string; query: URLSearchParams; waters: Waters['waters'] }): JSX.Element {
  const [water, setWater] = useState(() => firstWater(waters, query));
  const [saved, setSaved] = useState<Saved | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  const [putBack, setPutBack] = useState<string | null>(null);
  const { data: now } = useGet<Now>('/now');
  useEffect(() => { setFault(null); }, [mode, water]);

  const save: FormProps['save'] = async (path, body, shown, typed) => {
    setFault(null);
    setPutBack(null);
    const before = now?.waters.find((one) => one.id === water);
    try {
      const sent: Sent = await send('POST', path, body, shown);
      remember('water', String(water));
      setSaved({ sent, typed, water, before, undone: false });
      return true;
    } catch (error) {
      setSaved(null);
      setFault(asFault(error));
      return false;
    }
  };
  const props: FormProps = { waters, water, onWater: setWater, query, save, fault, putBack };
  return (
    <div class="two">
      <section class="col col-form" aria-label="Write it down">
        <h1 class="unseen">Log</h1>
        <Modes mode={mode} query={query} />
        {mode === 'treatment' ? <TreatmentForm {...props} /> : mode === 'note' ? <NoteForm {...props} /> : mode === 'weather' ? <WeatherForm {...props} /> : <ReadingForm {...props} />}
        <div role="status" class="saved-place">
          {saved && <SavedLine saved={saved} now={now} onChange={setSaved} onPutBack={setPutBack} at={route.get()} />}
        </div>
      </section>
      <section class="col" aria-label="Last entries"><Recent /></section>
    </div>
  );
}
