// SPDX-License-Identifier: Apache-2.0
// The sheet that rises from the bottom edge. Sheets stack: a figure inside one opens the next. Each
// has its place in the browser's history, so the back button closes it; Escape, a swipe down, a tap
// outside and the button do the same. Focus stays inside and goes back to where it came from.
import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { Cell, useCell } from './cell';
import { go } from './route';

interface Level { title: string; body: () => ComponentChildren; from: Element | null }

const stack = new Cell<Level[]>([]);
let afterwards: string | null = null;

export function openSheet(title: string, body: () => ComponentChildren): void {
  const level: Level = { title, body, from: document.activeElement };
  history.pushState({ sheet: stack.get().length + 1 }, '');
  stack.set([...stack.get(), level]);
}

export function closeSheet(): void {
  if (stack.get().length) history.back();
}

/** Closes every sheet and then goes to another place of the page. */
export function leaveSheets(target: string): void {
  const depth = stack.get().length;
  if (!depth) { go(target); return; }
  afterwards = target;
  history.go(-depth);
}

function onPop(event: PopStateEvent): void {
  const state: unknown = event.state;
  const depth = state && typeof state === 'object' && 'sheet' in state ? Number(state.sheet) : 0;
  const levels = stack.get();
  if (levels.length > depth) {
    const from = levels[depth]?.from;
    stack.set(levels.slice(0, depth));
    if (from instanceof HTMLElement && from.isConnected) queueMicrotask(() => from.focus());
  }
  if (depth === 0 && afterwards !== null) {
    const target = afterwards;
    afterwards = null;
    go(target);
  }
}

export function startSheets(): void {
  addEventListener('popstate', onPop);
}

/** A link inside a sheet: closes the sheets on its way. */
export function SheetLink(props: { to: string; class?: string; children: ComponentChildren }): JSX.Element {
  return (
    <a class={props.class ?? 'button'} href={props.to} onClick={(event) => { event.preventDefault(); leaveSheets(props.to); }}>
      {props.children}
    </a>
  );
}

const SWIPE_PX = 90;

function useSwipeDown(dialog: { current: HTMLDialogElement | null }): void {
  useEffect(() => {
    const element = dialog.current;
    if (!element) return undefined;
    let startY: number | null = null;
    let moved = 0;
    const start = (event: TouchEvent): void => {
      const touch = event.touches[0];
      const scroller = element.querySelector('.sheet-level:not([hidden]) .sheet-body');
      const inHead = event.target instanceof Element && event.target.closest('.sheet-head') !== null;
      startY = touch && event.touches.length === 1 && (inHead || (scroller?.scrollTop ?? 0) <= 0) ? touch.clientY : null;
      moved = 0;
    };
    const move = (event: TouchEvent): void => {
      const touch = event.touches[0];
      if (startY === null || !touch) return;
      moved = Math.max(0, touch.clientY - startY);
      element.style.translate = `0 ${moved}px`;
    };
    const end = (): void => {
      element.style.translate = '';
      if (startY !== null && moved > SWIPE_PX) closeSheet();
      startY = null;
    };
    element.addEventListener('touchstart', start, { passive: true });
    element.addEventListener('touchmove', move, { passive: true });
    element.addEventListener('touchend', end);
    element.addEventListener('touchcancel', end);
    return () => {
      element.removeEventListener('touchstart', start);
      element.removeEventListener('touchmove', move);
      element.removeEventListener('touchend', end);
      element.removeEventListener('touchcancel', end);
    };
  }, [dialog]);
}

const REACHABLE = 'a[href],button:not([disabled]),input:not([disabled]),select:not([disabled]),textarea:not([disabled]),[tabindex="0"]';

function keepFocusInside(event: KeyboardEvent, dialog: HTMLDialogElement): void {
  if (event.key !== 'Tab') return;
  const reachable = [...dialog.querySelectorAll<HTMLElement>(REACHABLE)].filter((element) => element.offsetParent !== null);
  const first = reachable[0];
  const last = reachable[reachable.length - 1];
  if (!first || !last) return;
  const at = document.activeElement;
  if (event.shiftKey && (at === first || !reachable.includes(at as HTMLElement))) { event.preventDefault(); last.focus(); }
  else if (!event.shiftKey && at === last) { event.preventDefault(); first.focus(); }
}

function LevelView({ level, top, depth }: { level: Level; top: boolean; depth: number }): JSX.Element {
  const heading = useRef<HTMLHeadingElement>(null);
  useLayoutEffect(() => { heading.current?.focus(); }, []);
  return (
    <section class="sheet-level" hidden={!top} aria-labelledby={`sheet-title-${depth}`}>
      <header class="sheet-head">
        <span class="sheet-grip" aria-hidden="true" />
        <h2 id={`sheet-title-${depth}`} tabIndex={-1} ref={heading}>{level.title}</h2>
        <button type="button" class="button plain" onClick={closeSheet}>{depth > 0 ? 'Back' : 'Close'}</button>
      </header>
      <div class="sheet-body">{level.body()}</div>
    </section>
  );
}

function OpenSheet({ levels }: { levels: Level[] }): JSX.Element {
  const dialog = useRef<HTMLDialogElement>(null);
  useLayoutEffect(() => {
    const element = dialog.current;
    if (element && !element.open) element.showModal();
    return () => element?.close();
  }, []);
  useSwipeDown(dialog);
  const outside = (event: MouseEvent): void => { if (event.target === dialog.current) closeSheet(); };
  return (
    <dialog class="sheet" ref={dialog} aria-labelledby={`sheet-title-${levels.length - 1}`}
      onCancel={(event) => { event.preventDefault(); closeSheet(); }}
      onClose={() => { if (stack.get().length) history.go(-stack.get().length); }}
      onClick={outside}
      onKeyDown={(event) => { if (dialog.current) keepFocusInside(event, dialog.current); }}>
      {levels.map((level, depth) => <LevelView key={depth} level={level} top={depth === levels.length - 1} depth={depth} />)}
    </dialog>
  );
}

export function Sheets(): JSX.Element | null {
  const levels = useCell(stack);
  return levels.length ? <OpenSheet levels={levels} /> : null;
}
