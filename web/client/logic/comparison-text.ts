import type { BenchDifferences, EventDifference, TakeupDifference } from '../../../agent/contract/bench.js';
import { apartWords, differWords, eventWords } from './bench-words.js';
import { timeWords } from './site-clock.js';

const MOST_EVENTS = 30;

/** What a comparison is of: the recording, and from when to when. */
export interface ComparedRecording {
  readonly name: string;
  readonly firstMs: number;
  readonly lastMs: number;
  readonly timezone: string;
}

const CHANGE_WORDS: Readonly<Record<EventDifference['change'], string>> = {
  gained: 'new',
  lost: 'gone',
  earlier: 'earlier',
  later: 'later',
};

/** `earlier by 3 min 20 s`. */
export function changeWords({ change, aMs, bMs }: EventDifference): string {
  return aMs === null || bMs === null ? CHANGE_WORDS[change] : `${CHANGE_WORDS[change]} by ${apartWords(bMs - aMs)}`;
}

/** `0.1 → 0.2`, or the one figure where both are the same. */
export function pairWords([a, b]: readonly [string | null, string | null]): string {
  return a === b ? (a ?? 'none') : `${a ?? 'none'} → ${b ?? 'none'}`;
}

export function numbersWords([a, b]: readonly [number | null, number | null], decimals: number): string {
  const number = (value: number | null): string => (value === null ? 'unknown' : value.toFixed(decimals));
  return pairWords([number(a), number(b)]);
}

/** What a comparison showed, as a text that is kept with the change of the site file. */
export function comparisonText(recording: ComparedRecording, { events, same, takeups }: BenchDifferences): string {
  const { name, timezone, firstMs, lastMs } = recording;
  const shown = events.slice(0, MOST_EVENTS);
  return [
    `Tried on the bench on ${name}, ${timeWords(firstMs, timezone)} to ${timeWords(lastMs, timezone)}.`,
    `${differWords(events.length, same)}${events.length === 0 ? '.' : ':'}`,
    ...shown.map((event) => `- ${eventWords(event)}, ${placeWords(event)}: ${changeWords(event)}${whenWords(event, timezone)}`),
    ...(events.length > MOST_EVENTS ? [`- and ${events.length - MOST_EVENTS} more`] : []),
    ...takeups.map(takeupLine),
  ].join('\n');
}

function placeWords({ conveyor, takeup, signal }: EventDifference): string {
  return [conveyor, takeup, takeup === undefined ? signal : undefined].filter(Boolean).join(' ');
}

function whenWords({ aMs, bMs }: EventDifference, timezone: string): string {
  if (aMs === null) return bMs === null ? '' : `, at ${timeWords(bMs, timezone)}`;
  return `, was at ${timeWords(aMs, timezone)}`;
}

function takeupLine({ conveyor, takeup, elongationPct, strokeOut, springSlack, wearLimit }: TakeupDifference): string {
  const figures = [
    `elongation ${numbersWords(elongationPct, 4)} %`,
    `stroke used up ${pairWords(strokeOut)}`,
    `springs slack ${pairWords(springSlack)}`,
    `chain worn ${pairWords(wearLimit)}`,
  ];
  return `${conveyor} ${takeup}: ${figures.join(', ')}.`;
}
