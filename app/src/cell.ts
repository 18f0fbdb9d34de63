// SPDX-License-Identifier: Apache-2.0
// A value that tells those who watch it when it changes.
import { useEffect, useState } from 'preact/hooks';

export class Cell<T> {
  private watchers = new Set<() => void>();
  constructor(private value: T) {}

  get(): T { return this.value; }

  set(value: T): void {
    if (Object.is(value, this.value)) return;
    this.value = value;
    for (const watcher of [...this.watchers]) watcher();
  }

  watch(watcher: () => void): () => void {
    this.watchers.add(watcher);
    return () => { this.watchers.delete(watcher); };
  }
}

export function useCell<T>(cell: Cell<T>): T {
  const [, redraw] = useState(0);
  const drawn = cell.get();
  useEffect(() => {
    const again = (): void => redraw((n) => n + 1);
    const stop = cell.watch(again);
    if (!Object.is(drawn, cell.get())) again(); // it changed between drawing and watching
    return stop;
  }, [cell]);
  return drawn;
}
