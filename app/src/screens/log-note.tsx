// SPDX-License-Identifier: Apache-2.0
// A note, about one water or the whole place.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { useCell } from '../cell';
import { version } from '../live';
import { Field, Refused } from '../parts';
import { writer } from '../prefs';
import type { FormProps } from './log';
import { DayField, WaterField } from './log-fields';

export function NoteForm(props: FormProps): JSX.Element {
  const known = useCell(version);
  const [whole, setWhole] = useState(false);
  const [text, setText] = useState('');
  const [day, setDay] = useState(known?.today ?? '');
  useEffect(() => { if (!day && known) setDay(known.today); }, [known?.today]);
  useEffect(() => { if (props.putBack !== null) setText(props.putBack); }, [props.putBack]);
  const water = whole ? 0 : props.water;
  const choose = (id: number): void => { setWhole(id === 0); if (id !== 0) props.onWater(id); };
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (!text.trim()) return;
    const by = writer.get();
    if (await props.save('/notes', { water, text: text.trim(), ...(day ? { on: day } : {}), ...(by ? { by } : {}) }, `note: ${text.trim().slice(0, 60)}`, text)) setText('');
  };
  return (
    <>
      <WaterField waters={props.waters} water={water} onWater={choose} none="The whole place" />
      <form class="form" onSubmit={save}>
        <Field label="What was seen" wide><textarea rows={4} value={text} required onInput={(event) => setText(event.currentTarget.value)} /></Field>
        <DayField day={day} onDay={setDay} />
        <Refused fault={props.fault} kept="Your note is still here." />
        <button class="button strong big" type="submit" disabled={!text.trim()}>Save</button>
      </form>
    </>
  );
}
