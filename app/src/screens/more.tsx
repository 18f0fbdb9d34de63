// SPDX-License-Identifier: Apache-2.0
// What lies behind the fifth button: every water, the paper, the rules, the settings, light and dark.
import type { JSX } from 'preact';
import { useCell } from '../cell';
import { useGet, version } from '../live';
import { Chips } from '../parts';
import { chooseTheme, theme, type Theme } from '../prefs';
import { openSheet, SheetLink } from '../sheet';
import type { Waters } from '../types';
import { readable } from '../words';

export function openMore(): void {
  openSheet('More', () => <More />);
}

const THEMES: Array<{ value: Theme; text: string }> = [{ value: 'system', text: 'As the device' }, { value: 'light', text: 'Light' }, { value: 'dark', text: 'Dark' }];

export function ThemeChips(): JSX.Element {
  return <Chips label="Light or dark" options={THEMES} chosen={useCell(theme)} onChoose={chooseTheme} />;
}

function More(): JSX.Element {
  const { data } = useGet<Waters>('/waters');
  const known = useCell(version);
  return (
    <>
      <h3>Waters</h3>
      <ul class="links">
        {data?.waters.map((water) => <li key={water.id}><SheetLink class="link-row" to={`#/water/${water.id}`}><span>{water.name}</span><span class="small quiet">{water.area ? readable(water.area.shown) : ''}</span></SheetLink></li>)}
        <li><SheetLink class="link-row" to="#/water/new"><span>Add a water</span></SheetLink></li>
      </ul>
      <h3>Paper and papers</h3>
      <ul class="links">
        <li><SheetLink class="link-row" to="#/day-sheet"><span>Day sheet to print</span></SheetLink></li>
        <li><SheetLink class="link-row" to="#/rules"><span>The rules</span></SheetLink></li>
        <li><SheetLink class="link-row" to="#/settings"><span>Settings</span></SheetLink></li>
      </ul>
      <h3>Light or dark</h3>
      <ThemeChips />
      {known && <p class="small quiet">{known.name} {known.version}, revision {known.revision}</p>}
    </>
  );
}
