// SPDX-License-Identifier: Apache-2.0
// The owner's word against a rule: his reason is kept and shown beside it.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Fault } from '../api';
import { useGet } from '../live';
import { asFault, Field, Refused } from '../parts';
import { send } from '../queue';
import type { Sheet } from '../types';

export function OverrideForm({ waterId, water, rule }: { waterId: number; water: string; rule: string }): JSX.Element {
  const [open, setOpen] = useState(false);
  const [reason, setReason] = useState('');
  const [until, setUntil] = useState('');
  const [fault, setFault] = useState<Fault | null>(null);
  if (!open) return <button type="button" class="button plain" onClick={() => setOpen(true)}>Set this rule aside</button>;
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    setFault(null);
    try {
      await send('POST', '/overrides', { water: waterId, rule, reason, ...(until ? { until } : {}) }, `${water}: set aside ${rule}`);
      setOpen(false);
      setReason('');
    } catch (error) { setFault(asFault(error)); }
  };
  return (
    <form class="form inset" onSubmit={save}>
      <Field label="You know this water better. Why does the rule not hold here?" wide>
        <textarea rows={2} value={reason} onInput={(event) => setReason(event.currentTarget.value)} required />
      </Field>
      <Field label="Until (may stay empty: until you take it back)"><input type="date" value={until} onInput={(event) => setUntil(event.currentTarget.value)} /></Field>
      <Refused fault={fault} kept="Your reason is still here." />
      <p class="acts"><button class="button strong" type="submit">Set it aside</button><button class="button" type="button" onClick={() => setOpen(false)}>Leave it</button></p>
    </form>
  );
}

/** Takes an override back; its record is found on the water's sheet. */
export function TakeBack({ waterId, rule }: { waterId: number; rule: string }): JSX.Element | null {
  const { data } = useGet<Sheet>(`/waters/${waterId}`);
  const [fault, setFault] = useState<Fault | null>(null);
  const record = data?.overrides.find((one) => one.rule === rule);
  if (!record) return null;
  const takeBack = async (): Promise<void> => {
    setFault(null);
    try { await send('DELETE', `/overrides/${record.id}`, {}, `${data?.name ?? ''}: ${rule} holds again`); } catch (error) { setFault(asFault(error)); }
  };
  return (
    <>
      <Refused fault={fault} kept="The rule is still set aside." />
      <button type="button" class="button" onClick={() => void takeBack()}>Let the rule hold again</button>
    </>
  );
}
