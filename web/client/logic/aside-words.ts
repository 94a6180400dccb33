import type { SuppressedBy } from '../../../agent/flow/alarm-key.js';
import { alarmWords } from './alarm-words.js';

/** What suppresses an alarm by design. */
export function suppressedWords(by: SuppressedBy | undefined): string {
  if (by === undefined) return 'by design';
  if (by === 'service') return 'while a service is open on the take-up';
  if (by === 'standing') return 'while the conveyor stands';
  return `while “${alarmWords(by)}” stands, which says more`;
}

/** For how long one may shelve: minutes, and how people say it. */
export const SHELVE_CHOICES: readonly { readonly minutes: number; readonly words: string }[] = [
  { minutes: 30, words: '30 minutes' },
  { minutes: 60, words: '1 hour' },
  { minutes: 120, words: '2 hours' },
  { minutes: 240, words: '4 hours' },
  { minutes: 480, words: '8 hours, a shift' },
  { minutes: 720, words: '12 hours' },
  { minutes: 1440, words: '24 hours' },
];

/** How long somebody has to respond: `5 min`, `2 h`, `7 days`. */
export function respondWords(minutes: number): string {
  if (minutes < 120) return `${minutes} min`;
  if (minutes < 2 * 24 * 60) return `${Math.round(minutes / 60)} h`;
  return `${Math.round(minutes / (24 * 60))} days`;
}

/** How long until something comes back by itself, to the minute, and to the second at the end. */
export function countdownWords(leftMs: number): string {
  if (leftMs <= 0) return 'now';
  const seconds = Math.ceil(leftMs / 1000);
  if (seconds < 120) return `in ${seconds} s`;
  // To the nearest: a screen's clock that is seconds behind would add a minute to what somebody has just chosen.
  const minutes = Math.round(seconds / 60);
  return minutes < 60 ? `in ${minutes} min` : `in ${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}
