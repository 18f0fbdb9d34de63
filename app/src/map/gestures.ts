// SPDX-License-Identifier: Apache-2.0
// Fingers, mouse and wheel on the map: one moves it, two pinch it, a short touch points, and what is
// taken hold of (a point of a drawing) is drawn along.
import { useEffect, useRef } from 'preact/hooks';
import type { Spot } from './types';

export interface Hands {
  /** Something under the pixel to take hold of: told where it is drawn to, and when let go unmoved. */
  grab: (pixel: Spot, touch: boolean) => { drag: (pixel: Spot) => void; tap: () => void } | null;
  pan: (dx: number, dy: number) => void;
  zoom: (pixel: Spot, factor: number) => void;
  tap: (pixel: Spot, touch: boolean) => void;
  hover: (pixel: Spot | null) => void;
}

const STILL_MOUSE_PX = 4;
const STILL_TOUCH_PX = 10;
const WHEEL_PER_PX = 0.0022;

interface Finger { at: Spot; from: Spot }

function apart(fingers: Finger[]): { distance: number; middle: Spot } | null {
  const [a, b] = fingers;
  if (!a || !b) return null;
  return { distance: Math.hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]), middle: [(a.at[0] + b.at[0]) / 2, (a.at[1] + b.at[1]) / 2] };
}

/** Follows the pointers on one element; answers the listeners to put on it. */
function follow(element: HTMLElement, hands: () => Hands): Record<string, (event: PointerEvent) => void> {
  const down = new Map<number, Finger>();
  let held: ReturnType<Hands['grab']> = null;
  let moved = false;
  const pixel = (event: PointerEvent): Spot => {
    const box = element.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  const pinch = (finger: Finger, to: Spot): void => {
    const before = apart([...down.values()]);
    finger.at = to;
    const after = apart([...down.values()]);
    if (!before || !after || before.distance === 0) return;
    hands().pan(after.middle[0] - before.middle[0], after.middle[1] - before.middle[1]);
    hands().zoom(after.middle, after.distance / before.distance);
  };
  const drag = (finger: Finger, to: Spot, touch: boolean): void => {
    const still = touch ? STILL_TOUCH_PX : STILL_MOUSE_PX;
    if (!moved && Math.hypot(to[0] - finger.from[0], to[1] - finger.from[1]) < still) return;
    moved = true;
    if (held) held.drag(to);
    else hands().pan(to[0] - finger.at[0], to[1] - finger.at[1]);
    finger.at = to;
  };
  const end = (event: PointerEvent): void => {
    const finger = down.get(event.pointerId);
    down.delete(event.pointerId);
    if (!finger || down.size) return;
    if (!moved && event.type === 'pointerup') {
      if (held) held.tap();
      else hands().tap(finger.from, event.pointerType !== 'mouse');
    }
    held = null;
  };
  return {
    pointerdown: (event) => {
      if (event.button !== 0) return;
      element.setPointerCapture(event.pointerId);
      const at = pixel(event);
      down.set(event.pointerId, { at, from: at });
      if (down.size === 1) { moved = false; held = hands().grab(at, event.pointerType !== 'mouse'); }
      else { moved = true; held = null; }
    },
    pointermove: (event) => {
      const finger = down.get(event.pointerId);
      const to = pixel(event);
      if (!finger) { if (event.pointerType === 'mouse') hands().hover(to); return; }
      if (down.size === 2) pinch(finger, to);
      else if (down.size === 1) drag(finger, to, event.pointerType !== 'mouse');
    },
    pointerup: end,
    pointercancel: end,
    pointerleave: (event) => { if (event.pointerType === 'mouse' && !down.size) hands().hover(null); },
  };
}

export function useHands(box: { current: HTMLElement | null }, hands: Hands): void {
  const latest = useRef(hands);
  latest.current = hands;
  useEffect(() => {
    const element = box.current;
    if (!element) return undefined;
    const listeners = follow(element, () => latest.current);
    const wheel = (event: WheelEvent): void => {
      event.preventDefault();
      const edge = element.getBoundingClientRect();
      const turned = event.deltaMode === 1 ? event.deltaY * 16 : event.deltaY;
      latest.current.zoom([event.clientX - edge.left, event.clientY - edge.top], Math.exp(-turned * WHEEL_PER_PX));
    };
    for (const [name, listener] of Object.entries(listeners)) element.addEventListener(name, listener as EventListener);
    element.addEventListener('wheel', wheel, { passive: false });
    return () => {
      for (const [name, listener] of Object.entries(listeners)) element.removeEventListener(name, listener as EventListener);
      element.removeEventListener('wheel', wheel);
    };
  }, [box]);
}
