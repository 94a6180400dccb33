import type { BenchProgress, BenchReject, EventDifference } from '../../../agent/contract/bench.js';
import type { RecordedAnswer } from '../../server/logic/answers.js';
import { alarmWords } from './alarm-words.js';
import { timeWords } from './site-clock.js';

const REASONS: Readonly<Record<BenchReject['reason'], string>> = {
  unparsable: 'not to be read',
  'unknown-signal': 'of no signal of this site',
  'out-of-range': 'out of range',
  spike: 'spike',
  late: 'late by more than a minute',
  duplicate: 'a repeat',
};

export function rejectWords(reason: BenchReject['reason']): string {
  return REASONS[reason];
}

/** Where one of the two times of a stretch is missing, wrongly typed, or left out by the clock when it is put forward. */
export const BOTH_TIMES = 'Give both times, each like 2026-03-02 09:41; one of them is none that the site’s clock has.';

/** Of what was not used, what a person can do something about; undefined where there is nothing to say. */
export function rejectAdvice(rejected: Readonly<Record<BenchReject['reason'], number>>, readings: number): string | undefined {
  if (rejected.late <= readings / 100) return undefined;
  return 'So many are late since the file does not stand in order of time. Opened as “another form”, with a mapping, it is sorted first.';
}

/** How many alarms and findings differ, and how many are the same. */
export function differWords(differing: number, same: number): string {
  const are = same === 1 ? 'is' : 'are';
  if (differing === 0) return `No alarm and no finding differs; ${same} ${are} the same`;
  return `${differing === 1 ? '1 alarm or finding differs' : `${differing} alarms and findings differ`}, ${same} ${are} the same`;
}

/** `chain-removed` as people say it. */
export function findingWords(finding: string): string {
  const words = finding.replaceAll('-', ' ');
  return words.charAt(0).toUpperCase() + words.slice(1);
}

export function eventWords({ what, key }: Pick<EventDifference, 'what' | 'key'>): string {
  return what === 'alarm' ? alarmWords(key) : findingWords(key);
}

/** One line of what the flight recorder keeps. */
export function recordedWords({ kind, what, timeMs, conveyor, takeup }: RecordedAnswer[number], timezone: string): string {
  const words = kind === 'alarm' ? alarmWords(what) : findingWords(what);
  return `${timeWords(timeMs, timezone)} ${words}${kind === 'entry' ? ' (entry)' : ''}, ${[conveyor, takeup].filter(Boolean).join(' ')}`;
}

/** How far a session is, in a sentence. */
export function progressWords({ state, run, share, words }: BenchProgress): string {
  const percent = `${Math.floor(100 * share)} %`;
  switch (state) {
    case 'reading':
      return `Reading: ${percent}`;
    case 'running':
      return `${run === 'a' ? 'Replaying' : 'Replaying the second setting'}: ${percent}`;
    case 'done':
      return run === 'a' ? 'Replayed.' : 'Both settings are replayed.';
    case 'failed':
      return words ?? 'It could not be replayed.';
  }
}

/** How far apart two instants are: `3 min 20 s`. */
export function apartWords(ms: number): string {
  const seconds = Math.round(Math.abs(ms) / 1000);
  if (seconds < 60) return `${seconds} s`;
  if (seconds < 3600) return `${Math.floor(seconds / 60)} min ${seconds % 60} s`;
  return `${Math.floor(seconds / 3600)} h ${Math.round((seconds % 3600) / 60)} min`;
}

/** Lines that only one of two texts has, as a text to hand on: `-` before, `+` after. */
export function changedLines(before: string, after: string): readonly string[] {
  const [old, now] = [before.split('\n'), after.split('\n')];
  const gone = old.filter((line) => !now.includes(line)).map((line) => `- ${line.trimEnd()}`);
  const come = now.filter((line) => !old.includes(line)).map((line) => `+ ${line.trimEnd()}`);
  return [...gone, ...come];
}
