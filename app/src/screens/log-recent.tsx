// SPDX-License-Identifier: Apache-2.0
// The last entries, newest first, each with its undo; what was taken back can be put back.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Fault } from '../api';
import { useCell } from '../cell';
import { clockTime } from '../dates';
import { useGet } from '../live';
import { asFault, NotYet, Refused } from '../parts';
import { dropWaiting, send, waiting } from '../queue';
import type { Log, LogEntry } from '../types';
import { readable } from '../words';

const FIRST = 5;

function EntryLine({ entry }: { entry: LogEntry }): JSX.Element {
  const [fault, setFault] = useState<Fault | null>(null);
  const gone = entry.undone_by !== 0;
  const press = async (): Promise<void> => {
    setFault(null);
    try {
      await send('POST', '/undo', { change: gone ? entry.undone_by : entry.change }, `${gone ? 'put back' : 'take back'}: ${entry.action}`);
    } catch (error) { setFault(asFault(error)); }
  };
  return (
    <li class={gone ? 'record record-gone' : 'record'}>
      <div class="record-text">
        <p>{gone && <span class="tag">taken back</span>}{readable(entry.action)}</p>
        <p class="small quiet">{[clockTime(entry.at), entry.who, entry.why].filter(Boolean).join(' · ')}</p>
        <Refused fault={fault} kept="Nothing was changed." />
      </div>
      <button type="button" class="button" aria-label={`${gone ? 'Put back' : 'Undo'}: ${entry.action}`} onClick={() => void press()}>{gone ? 'Put back' : 'Undo'}</button>
    </li>
  );
}

function WaitingLines(): JSX.Element | null {
  const list = useCell(waiting);
  if (!list.length) return null;
  return (
    <ul class="records">
      {[...list].reverse().map((item) => (
        <li class="record" key={item.key}>
          <div class="record-text">
            <p><span class="tag">waits</span>{readable(item.shown)}</p>
            <p class="small quiet">{item.refused ? `Refused: ${item.refused}` : `made ${clockTime(item.madeAt)}, sent when the server answers`}</p>
          </div>
          <button type="button" class="button" aria-label={`Drop: ${item.shown}`} onClick={() => dropWaiting(item.key)}>Drop</button>
        </li>
      ))}
    </ul>
  );
}

export function Recent(): JSX.Element {
  const [count, setCount] = useState(FIRST);
  const { data, fault } = useGet<Log>('/log?limit=60');
  const entries = data?.entries.filter((entry) => entry.undoes === 0) ?? [];
  return (
    <>
      <h2>Last entries</h2>
      <WaitingLines />
      {!data && <NotYet fault={fault} what="the last entries" />}
      {data && entries.length === 0 && <p class="quiet">Nothing was written down yet. Begin with the disk: it takes a minute and decides most.</p>}
      <ul class="records">{entries.slice(0, count).map((entry) => <EntryLine key={entry.change} entry={entry} />)}</ul>
      {entries.length > count && <button type="button" class="button" onClick={() => setCount(count + 15)}>Earlier entries</button>}
    </>
  );
}
