// SPDX-License-Identifier: Apache-2.0
// The frame: where to go, what waits, whether what is shown is fresh; then the screen itself.
import { useEffect, useRef } from 'preact/hooks';
import type { JSX } from 'preact';
import { useCell } from './cell';
import { clockTime } from './dates';
import { keptAt, version } from './live';
import { LogMark, MethodsMark, MoreMark, SettingsMark, ShelfMark, TodayMark } from './marks';
import { openMore } from './screens/more';
import { openWaiting } from './screens/waiting';
import { waiting } from './queue';
import { route, type Route } from './route';
import { screenOf } from './screens';
import { Sheets } from './sheet';

function Nav({ at }: { at: string }): JSX.Element {
  const place = useCell(version)?.place;
  const link = (key: string, to: string, text: string, Mark: () => JSX.Element, extra = ''): JSX.Element => (
    <a class={`nav-link ${extra}`} href={to} aria-current={at === key ? 'page' : undefined}><Mark /><span>{text}</span></a>
  );
  return (
    <nav class="nav" aria-label="Places">
      <p class="nav-place">{place || 'Lakeward'}</p>
      {link('today', '#/', 'Today', TodayMark)}
      {link('log', '#/log', 'Log', LogMark)}
      {link('shelf', '#/shelf', 'Shelf', ShelfMark)}
      {link('methods', '#/methods', 'Methods', MethodsMark)}
      {link('settings', '#/settings', 'Settings', SettingsMark, 'desk-only')}
      <button type="button" class="nav-link" aria-haspopup="dialog" onClick={openMore}><MoreMark /><span>More</span></button>
    </nav>
  );
}

/** Says when what is shown is not fresh, and how many entries wait to be sent. */
function Signal(): JSX.Element {
  const kept = useCell(keptAt);
  const list = useCell(waiting);
  const refused = list.filter((item) => item.refused !== null).length;
  return (
    <div class="signal" role="status">
      {kept !== null && (
        <p class="signal-line"><strong>No connection.</strong> {kept ? `This is as of ${clockTime(kept)}.` : 'Showing what is at hand.'} What you enter is kept here and sent later.</p>
      )}
      {list.length > 0 && (
        <button type="button" class="signal-line signal-button" aria-haspopup="dialog" onClick={openWaiting}>
          {list.length === 1 ? '1 entry waits' : `${list.length} entries wait`} to be sent{refused ? `; ${refused} needs your hand` : ''}
        </button>
      )}
    </div>
  );
}

/** Moves reading to the new screen's top, but not on the very first draw. */
function useArrival(at: Route): void {
  const first = useRef(true);
  const key = at.parts.join('/');
  useEffect(() => {
    if (first.current) { first.current = false; return; }
    scrollTo(0, 0);
    document.getElementById('main')?.focus({ preventScroll: true });
  }, [key]);
}

export function Shell(): JSX.Element {
  const at = useCell(route);
  useArrival(at);
  const screen = screenOf(at);
  useEffect(() => { document.title = `${screen.title} · Lakeward`; }, [screen.title]);
  return (
    <>
      <a class="skip" href="#main" onClick={(event) => { event.preventDefault(); document.getElementById('main')?.focus(); }}>To the content</a>
      <Nav at={screen.place} />
      <div class="page">
        <Signal />
        <main id="main" tabIndex={-1}>{screen.view}</main>
      </div>
      <Sheets />
    </>
  );
}
