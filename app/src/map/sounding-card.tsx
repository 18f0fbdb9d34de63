// SPDX-License-Identifier: Apache-2.0
// One sounding that was tapped: what it says, why it is set aside, and the owner's word on it.
import type { JSX } from 'preact';
import { sayDepth } from './measure';
import { spoken } from './ranges';
import { SavedNote, type Saver } from './save';
import type { Soundings, Spot, Survey } from './types';
import { sentence } from '../words';

/** Why a sounding is set aside, where its survey does not say. */
const FLAW: Record<string, string> = {
  outside: 'lies outside the outline', duplicate: 'repeats another sounding at the same place', dropout: 'the sounder lost the bottom',
  zero: 'reads next to nothing away from the shore', spike: 'stands far off its neighbours', 'double-echo': 'reads about twice its neighbours: an echo of the echo',
  'too-deep': 'deeper than this water can be', 'by-owner': 'set aside by the owner',
};

/** The sounding nearest to a spot, within reach; those set aside before those in use. */
export function nearestSounding({ soundings }: Soundings, [x, y]: Spot, reach: number): number | null {
  let best: number | null = null;
  let least = reach;
  soundings.x.forEach((one, at) => {
    const far = Math.hypot(one - x, (soundings.y[at] ?? 0) - y) * (soundings.flaw[at] === 'good' ? 1 : 0.5);
    if (far < least) { least = far; best = at; }
  });
  return best;
}

function residualText(residual: number | null, unit: string): string {
  if (residual === null) return '';
  const size = sayDepth(Math.abs(residual), unit, 0);
  return residual >= 0 ? `${size} deeper than the map drawn without its line` : `${size} shallower than the map drawn without its line`;
}

export function SoundingCard({ soundings, index, surveys, unit, saver, onClose }: {
  soundings: Soundings; index: number; surveys: Survey[]; unit: string; saver: Saver; onClose: () => void;
}): JSX.Element | null {
  const { depth, residual, survey, number, flaw } = soundings.soundings;
  const from = surveys.find((one) => one.id === survey[index]);
  const why = flaw[index] ?? 'good';
  const good = why === 'good';
  const mark = number[index] ?? 0;
  const name = `sounding ${mark}${from ? ` of ${from.name}` : ''}`;
  const say = (): void => {
    if (!from) return;
    void saver.run({ method: 'PATCH', path: `/surveys/${from.id}`, body: spoken(from, [mark], !good), shown: `${name} ${good ? 'set aside' : 'put back'}` });
  };
  const reason = from?.set_aside.find((one) => one.reason === why)?.text ?? FLAW[why] ?? why;
  return (
    <section class="inset sounding-card" aria-label={sentence(name)}>
      <p><strong>{sayDepth(depth[index] ?? 0, unit, 0)}</strong> below full pool. {sentence(name)}.</p>
      <p>{good ? ['In use', residualText(residual[index] ?? null, unit)].filter(Boolean).join('; ') : `Set aside: ${reason}`}.</p>
      <SavedNote saver={{ ...saver, done: null }} kept="Nothing was changed." />
      <p class="acts">
        {from && <button type="button" class="button strong" disabled={saver.saving} onClick={say}>{good ? 'Set aside' : 'Put back'}</button>}
        <button type="button" class="button" onClick={onClose}>Close</button>
      </p>
    </section>
  );
}
