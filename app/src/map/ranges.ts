// SPDX-License-Identifier: Apache-2.0
// Sets of whole numbers written as ranges: "3,17-20". So the owner's word on soundings is kept.
const MOST = 5_000_000;

export function readRanges(text: string | null | undefined): Set<number> {
  const out = new Set<number>();
  for (const part of (text ?? '').split(',')) {
    const match = /^\s*(\d+)(?:\s*-\s*(\d+))?\s*$/.exec(part);
    if (!match) continue;
    const from = Number(match[1]);
    const to = Math.min(Number(match[2] ?? match[1]), from + MOST);
    for (let number = from; number <= to; number++) out.add(number);
  }
  return out;
}

export function writeRanges(numbers: Set<number>): string {
  const sorted = [...numbers].sort((a, b) => a - b);
  const out: string[] = [];
  for (let at = 0; at < sorted.length; at++) {
    const from = sorted[at] ?? 0;
    let to = from;
    while (sorted[at + 1] === to + 1) { to++; at++; }
    out.push(from === to ? String(from) : `${from}-${to}`);
  }
  return out.join(',');
}

/** `kept` and `dropped` once the owner has spoken on these soundings. */
export function spoken(survey: { kept?: string | null; dropped?: string | null }, numbers: number[], use: boolean): { kept: string; dropped: string } {
  const kept = readRanges(survey.kept);
  const dropped = readRanges(survey.dropped);
  for (const number of numbers) {
    (use ? kept : dropped).add(number);
    (use ? dropped : kept).delete(number);
  }
  return { kept: writeRanges(kept), dropped: writeRanges(dropped) };
}
