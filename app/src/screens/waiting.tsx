// SPDX-License-Identifier: Apache-2.0
// The sheet with the entries that wait to be sent, and those the server refused.
import type { JSX } from 'preact';
import { useCell } from '../cell';
import { clockTime } from '../dates';
import { dropWaiting, flush, waiting } from '../queue';
import { openSheet } from '../sheet';
import { readable } from '../words';

export function openWaiting(): void {
  openSheet('Waiting to be sent', () => <WaitingSheet />);
}

function WaitingSheet(): JSX.Element {
  const list = useCell(waiting);
  if (!list.length) return <p>Everything is sent.</p>;
  return (
    <>
      <p>These are kept on this device. They are sent by themselves, oldest first, when the server answers again.</p>
      <ul class="records">
        {list.map((item) => (
          <li class="record" key={item.key}>
            <div class="record-text">
              <p>{readable(item.shown)}</p>
              <p class="small quiet">{clockTime(item.madeAt)}</p>
              {item.refused && <p class="refused-note">The server refused it: {item.refused} Write it down again in the log, then drop it here.</p>}
            </div>
            <button type="button" class="button" aria-label={`Drop: ${item.shown}`} onClick={() => dropWaiting(item.key)}>Drop</button>
          </li>
        ))}
      </ul>
      <button type="button" class="button strong" onClick={() => void flush()}>Send now</button>
    </>
  );
}
