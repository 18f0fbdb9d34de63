// SPDX-License-Identifier: Apache-2.0
// Days of the water's own calendar, as text "2026-04-15"; never shifted by the device's time zone.
import type { Day } from './types';

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const LONG_MONTHS = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'];
const WEEKDAYS = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'];
const LONG_WEEKDAYS = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday'];
const DAY_MS = 86400000;

/** Days since 1970-01-01; NaN for what is not a date. */
export function serial(day: Day): number {
  const match = /^(\d{4})-(\d\d)-(\d\d)/.exec(day);
  return match ? Date.UTC(Number(match[1]), Number(match[2]) - 1, Number(match[3])) / DAY_MS : NaN;
}

export function fromSerial(days: number): Day {
  return new Date(days * DAY_MS).toISOString().slice(0, 10);
}

function parts(day: Day): { year: number; month: number; date: number; weekday: number } | null {
  const days = serial(day);
  if (Number.isNaN(days)) return null;
  const at = new Date(days * DAY_MS);
  return { year: at.getUTCFullYear(), month: at.getUTCMonth(), date: at.getUTCDate(), weekday: at.getUTCDay() };
}

/** "15 Apr"; with the year when it is not that of `today`. */
export function shortDay(day: Day, today?: Day): string {
  const at = parts(day);
  if (!at) return day;
  const year = today && day.slice(0, 4) !== today.slice(0, 4) ? ` ${at.year}` : '';
  return `${at.date} ${MONTHS[at.month]}${year}`;
}

/** "Wed 15 Apr". */
export function dayName(day: Day, today?: Day): string {
  const at = parts(day);
  return at ? `${WEEKDAYS[at.weekday]} ${shortDay(day, today)}` : day;
}

/** "Wednesday 15 April". */
export function longDay(day: Day, withYear = false): string {
  const at = parts(day);
  if (!at) return day;
  return `${LONG_WEEKDAYS[at.weekday]} ${at.date} ${LONG_MONTHS[at.month]}${withYear ? ` ${at.year}` : ''}`;
}

export function monthName(day: Day): string {
  const at = parts(day);
  return at ? (MONTHS[at.month] ?? '') : '';
}

/** "today", "yesterday", "tomorrow", "in 4 days", "12 days ago", "15 Apr 2025". */
export function nearDay(day: Day, today: Day): string {
  const gap = serial(day) - serial(today);
  if (Number.isNaN(gap)) return day;
  if (gap === 0) return 'today';
  if (gap === 1) return 'tomorrow';
  if (gap === -1) return 'yesterday';
  if (gap > 0 && gap <= 6) return dayName(day);
  if (gap < 0 && gap >= -28) return `${-gap} days ago`;
  return shortDay(day, today);
}

/** An instant on this device's clock: "7:42 today", "7:42 on 14 Apr". */
export function clockTime(instant: string): string {
  const at = new Date(instant);
  if (Number.isNaN(at.getTime())) return instant;
  const time = at.toLocaleTimeString([], { hour: 'numeric', minute: '2-digit' });
  const local = (date: Date): string => `${date.getFullYear()}-${String(date.getMonth() + 1).padStart(2, '0')}-${String(date.getDate()).padStart(2, '0')}`;
  return local(at) === local(new Date()) ? `${time} today` : `${time} on ${shortDay(local(at), local(new Date()))}`;
}
