// SPDX-License-Identifier: Apache-2.0
// Starts the page.
import { render } from 'preact';
import { startLive } from './live';
import { applyTheme } from './prefs';
import { flush } from './queue';
import { startRouting } from './route';
import { Shell } from './shell';
import { startSheets } from './sheet';

applyTheme();
startRouting();
startSheets();
startLive(() => void flush());

const root = document.getElementById('app');
if (root) render(<Shell />, root);

if ('serviceWorker' in navigator) {
  // Without it the page works all the same, only not when the server is away.
  navigator.serviceWorker.register('sw.js').catch(() => undefined);
}
