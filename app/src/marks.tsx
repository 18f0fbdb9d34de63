// SPDX-License-Identifier: Apache-2.0
// The few drawn marks of the page: plain strokes in the text's own ink.
import type { JSX } from 'preact';

function Mark({ children }: { children: JSX.Element | JSX.Element[] }): JSX.Element {
  return <svg class="mark" width="24" height="24" viewBox="0 0 24 24" aria-hidden="true" focusable="false">{children}</svg>;
}

/** A disk on its cord below the water line. */
export const TodayMark = (): JSX.Element => (
  <Mark><path d="M2 7q2.5-2 5 0t5 0 5 0 5 0" /><path d="M12 7.5v6" /><ellipse cx="12" cy="16.5" rx="7" ry="3.2" /></Mark>
);
/** A pencil on a line. */
export const LogMark = (): JSX.Element => <Mark><path d="M6 17l1-4L17 3l3 3L10 16zM3 21h18" /></Mark>;
/** Sacks on a board. */
export const ShelfMark = (): JSX.Element => <Mark><path d="M2 20h20M4 20v-7q0-2 2-2h3q2 0 2 2v7M13 20v-11q0-2 2-2h3q2 0 2 2v11" /></Mark>;
/** A sum worked out on paper. */
export const MethodsMark = (): JSX.Element => <Mark><path d="M5 3h14v18H5zM8.5 8h7M8.5 12h4M8.5 17h7" /></Mark>;
export const MoreMark = (): JSX.Element => <Mark><path d="M4 7h16M4 12h16M4 17h16" /></Mark>;
export const SettingsMark = (): JSX.Element => <Mark><path d="M4 8h9M17 8h3M4 16h3M11 16h9" /><circle cx="15" cy="8" r="2" /><circle cx="9" cy="16" r="2" /></Mark>;

export const CautionMark = (): JSX.Element => (
  <svg class="mark caution-mark" width="20" height="20" viewBox="0 0 20 20" aria-hidden="true" focusable="false">
    <path class="solid" d="M10 1.5 19 18H1z" /><path class="hole" d="M10 7v5.2M10 14.2v2" />
  </svg>
);
