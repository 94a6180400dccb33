import type { UnitSystem } from '../../../agent/units/display.js';
import type { AlarmEventAnswer } from '../../server/logic/answers.js';
import type { EntryAnswer, FindingAnswer } from '../../server/logic/work-answers.js';
import { alarmWords } from './alarm-words.js';
import { entrySentence, findingWords } from './work-words.js';

/** The lanes above a chart. */
export const LANES = ['work', 'alarms', 'findings'] as const;
export type Lane = (typeof LANES)[number];

export const LANE_WORDS: Readonly<Record<Lane, string>> = { work: 'Work', alarms: 'Alarms', findings: 'Findings' };

/** Something that happened, at its place above a chart. */
export interface TimelineMark {
  readonly id: string;
  readonly lane: Lane;
  readonly timeMs: number;
  /** Two or three signs that tell the kinds apart, such as `−2` for two pitches taken out. */
  readonly sign: string;
  readonly words: string;
  /** A thin line through the chart stands here: the chain or its springs were changed. */
  readonly cuts: boolean;
  /** The priority of an alarm. */
  readonly priority?: string;
}

/** Everything that happened to a take-up, in order of time. Of alarms, only that they were raised. */
export function timelineMarks(
  entries: readonly EntryAnswer[],
  alarms: readonly AlarmEventAnswer[],
  findings: readonly FindingAnswer[],
  units: UnitSystem,
): readonly TimelineMark[] {
  return [
    ...entries.filter(({ state }) => state !== 'withdrawn').map((entry) => markOfEntry(entry, units)),
    ...alarms.filter(({ change }) => change === 'raised').map(markOfAlarm),
    ...findings.filter(({ state }) => state !== 'rejected').map(markOfFinding),
  ].toSorted((a, b) => a.timeMs - b.timeMs);
}

const MINUS = '\u2212';
const SIGNS: Readonly<Partial<Record<string, string>>> = {
  'nut-turned': 'nut',
  'spring-replaced': 'spr',
  'sensor-rezeroed': 'zero',
  lubricated: 'lub',
  inspected: 'insp',
  'service-opened': '[',
  'service-closed': ']',
  note: 'note',
};
const CHANGES: ReadonlySet<string> = new Set([
  'chain-removed',
  'chain-inserted',
  'chain-replaced',
  'nut-turned',
  'spring-replaced',
  'sensor-rezeroed',
]);

function markOfEntry({ id, timeMs, entry }: EntryAnswer, units: UnitSystem): TimelineMark {
  const kind = typeof entry['kind'] === 'string' ? entry['kind'] : '';
  return { id, lane: 'work', timeMs, sign: signOf(kind, entry['pitches']), words: entrySentence(entry, units), cuts: CHANGES.has(kind) };
}

function signOf(kind: string, pitches: unknown): string {
  const count = typeof pitches === 'number' ? String(pitches) : '';
  if (kind === 'chain-removed') return `${MINUS}${count}`;
  if (kind === 'chain-inserted') return `+${count}`;
  if (kind === 'chain-replaced') return 'new';
  return SIGNS[kind] ?? '·';
}

function markOfAlarm({ id, timeMs, alarm, side, priority }: AlarmEventAnswer): TimelineMark {
  const words = `${alarmWords(alarm)}${side === undefined ? '' : `, ${side}`} raised`;
  return { id, lane: 'alarms', timeMs, sign: '', words, cuts: false, priority };
}

function markOfFinding({ id, toMs, finding, state }: FindingAnswer): TimelineMark {
  return { id, lane: 'findings', timeMs: toMs, sign: state === 'open' ? '?' : '', words: findingWords(finding), cuts: false };
}

/** Marks that would stand on one another, as one. */
export interface MarkGroup {
  readonly x: number;
  readonly marks: readonly TimelineMark[];
}

/**
 * Marks of one lane that stand nearer than `leastPx` to one another are drawn as one, so that each can be read and hit.
 *
 * @param marks - in order of time
 * @param xOf - where a time lies, px
 */
export function groupMarks(marks: readonly TimelineMark[], xOf: (timeMs: number) => number, leastPx: number): readonly MarkGroup[] {
  const groups: { x: number; marks: TimelineMark[] }[] = [];
  for (const mark of marks) {
    const x = xOf(mark.timeMs);
    const last = groups.at(-1);
    if (last !== undefined && x - last.x < leastPx) last.marks.push(mark);
    else groups.push({ x, marks: [mark] });
  }
  return groups;
}

/** What is written on a group: a change of the chain before all else, then how many they are. */
export function groupSign({ marks }: MarkGroup): string {
  const changes = marks.filter(({ cuts }) => cuts).map(({ sign }) => sign);
  if (changes.length > 0) return [...new Set(changes)].join(' ');
  return marks.length > 1 ? `${marks.length}×` : (marks[0]?.sign ?? '');
}

/** A day to come with its early and late end, as it is drawn above a chart. */
export interface TimelineSpan {
  readonly fromMs: number;
  readonly atMs: number;
  /** Undefined where it is open-ended. */
  readonly toMs?: number;
  readonly words: string;
}
