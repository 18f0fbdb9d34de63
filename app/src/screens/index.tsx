// SPDX-License-Identifier: Apache-2.0
// Which screen an address shows, and which destination it belongs to.
import type { JSX } from 'preact';
import type { Route } from '../route';
import { DaySheetScreen } from './day-sheet';
import { LogScreen } from './log';
import { MapScreen } from './map';
import { MethodsScreen } from './methods';
import { RulesScreen } from './rules';
import { SettingsScreen } from './settings';
import { ShelfScreen } from './shelf';
import { TodayScreen } from './today';
import { WaterScreen } from './water';
import { NewWaterScreen } from './water-new';

export interface Screen { place: string; title: string; view: JSX.Element }

export function screenOf({ parts, query }: Route): Screen {
  const [head = 'today', second, third] = parts;
  switch (head) {
    case 'today': return { place: 'today', title: 'Today', view: <TodayScreen waterId={null} subject={null} /> };
    case 'why': return { place: 'today', title: 'Why', view: <TodayScreen waterId={Number(second)} subject={third ?? null} /> };
    case 'water':
      return second === 'new'
        ? { place: 'today', title: 'A new water', view: <NewWaterScreen /> }
        : { place: 'today', title: 'A water', view: <WaterScreen key={second} id={Number(second)} /> };
    case 'map': return { place: 'today', title: 'Map', view: <MapScreen key={second} id={Number(second)} /> };
    case 'log': return { place: 'log', title: 'Log', view: <LogScreen key={query.toString()} mode={second ?? 'reading'} query={query} /> };
    case 'shelf': return { place: 'shelf', title: 'Shelf', view: <ShelfScreen /> };
    case 'methods': return { place: 'methods', title: 'Methods', view: <MethodsScreen name={second ?? null} query={query} /> };
    case 'rules': return { place: 'methods', title: 'Rules', view: <RulesScreen id={second ?? null} /> };
    case 'settings': return { place: 'settings', title: 'Settings', view: <SettingsScreen /> };
    case 'day-sheet': return { place: 'today', title: 'Day sheet', view: <DaySheetScreen /> };
    default:
      return {
        place: 'today', title: 'Nothing here',
        view: <div class="empty"><h1>Nothing here</h1><p>This address leads nowhere. Nothing was changed.</p><a class="button strong" href="#/">To Today</a></div>,
      };
  }
}
