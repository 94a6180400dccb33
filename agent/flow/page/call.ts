import type { Ladder, LadderStep, Paging } from '../../site/site.js';
import { alarmIdentity, morePressing, pressing, type Occurrence, type PagedPlace } from './occurrence.js';

/** Alarms that people are called to together, and how far up the ladder the calling has come. Times are the machine's, not the data's. */
export interface Call {
  /** From its first alarm and when that rose, so that working it out again gives the same. */
  readonly id: string;
  openedMs: number;
  /** When its gathering ends and its first page is due. */
  firstMs: number;
  /** When its first urgent alarm came, if it has one. */
  urgentMs: number | null;
  /** When it last paged; null while it gathers. */
  lastMs: number | null;
  /** Up to when its steps are done. */
  stepsDoneMs: number;
  rounds: number;
  /** In the order in which they came; what is over is left in its place, so that `told` keeps its meaning. */
  alarms: (Occurrence | null)[];
  /** How many of the alarms a person has been told of. */
  readonly told: Record<string, number>;
  /** Whom nothing reached. */
  lost: readonly string[];
  /** The take-up or signal on which it was said that nobody took it. */
  unanswered: PagedPlace | null;
}

/** More than ten at once are a flood (ISA-18.2: more than ten in ten minutes), and a flood is one call wherever its alarms are. */
const FLOOD = 10;
/** An alarm that comes and goes by itself while nobody answers is called out again after so long, and not each time. */
const CALM_MS = 10 * 60_000;
/** What joined late and nobody knows of is tried no more often than this. */
const TRY_AGAIN_MS = 30_000;

/** The end of a jump's condition says only that the carriage stands still where it is now: somebody must still look. */
const STILL_CALLS = ['carriage-jump'];

/** What still wants somebody: neither acknowledged nor back to normal by itself. Most pressing first. */
export function openAlarms(call: Call): readonly Occurrence[] {
  return call.alarms
    .filter((alarm): alarm is Occurrence => alarm !== null && (!alarm.returned || STILL_CALLS.includes(alarm.alarm)))
    .sort(morePressing);
}

/** Where an alarm stands in a call; −1 where it does not. */
export function placeIn(call: Call, identity: string): number {
  return call.alarms.findIndex((alarm) => alarm !== null && alarmIdentity(alarm) === identity);
}

/** The ladder that counts is that of what is most pressing now. */
export function ladderOf(call: Call, { ladders }: Paging): Ladder | undefined {
  const [first] = openAlarms(call);
  return first === undefined ? undefined : ladders[first.priority];
}

/** The next step that has not been taken. */
export function nextStep(call: Call, { steps }: Ladder): LadderStep | undefined {
  return steps.find(({ afterMs }) => call.openedMs + afterMs > call.stepsDoneMs);
}

/** The last step that has been taken, or would be first. */
export function stepTaken(call: Call, { steps }: Ladder): LadderStep {
  return steps.findLast(({ afterMs }) => call.openedMs + afterMs <= call.stepsDoneMs) ?? (steps[0] as LadderStep);
}

/** When paging ends: late steps, as after the machine was off, are still given their time. */
export function stopMs(call: Call, { steps, stopAfterMs }: Ladder): number {
  const lastStep = steps.at(-1)?.afterMs ?? 0;
  return Math.max(call.openedMs + stopAfterMs, call.stepsDoneMs + stopAfterMs - lastStep);
}

/** Nobody who was paged could be reached. */
export function allLost(call: Call): boolean {
  return Object.keys(call.told).every((person) => call.lost.includes(person));
}

/** Nobody was told of any of what is still open: it joined later, and the rest has been taken care of. */
function nobodyKnows(call: Call): boolean {
  const known = Math.max(0, ...Object.values(call.told));
  return !call.alarms.slice(0, known).some((alarm) => alarm !== null && openAlarms(call).includes(alarm));
}

/** What a call waits for: its next round of pages, or the end of paging. Infinity where it waits for people or alarms alone. */
export function callDueMs(call: Call, paging: Paging): number {
  const ladder = ladderOf(call, paging);
  if (ladder === undefined || call.unanswered !== null) return Infinity;
  if (call.lastMs === null) return Math.max(call.firstMs, call.openedMs + (ladder.steps[0]?.afterMs ?? 0));
  return Math.min(roundDueMs(call, ladder, paging.groupMs), stopMs(call, ladder));
}

function roundDueMs(call: Call, ladder: Ladder, groupMs: number): number {
  const lastMs = call.lastMs ?? call.openedMs;
  const next = nextStep(call, ladder);
  if (allLost(call)) return next === undefined ? -Infinity : lastMs;
  if (nobodyKnows(call)) return Math.max(lastMs + TRY_AGAIN_MS, call.openedMs + groupMs);
  if (next !== undefined) return call.openedMs + next.afterMs;
  return ladder.repeatMs === undefined ? Infinity : lastMs + ladder.repeatMs;
}

/** Everything in it went back to normal by itself, and its last page was a while ago: what rises now is news. */
export function isOver(call: Call, nowMs: number): boolean {
  return call.lastMs !== null && call.unanswered === null && openAlarms(call).length === 0 && nowMs - call.lastMs >= CALM_MS;
}

/** Whether an alarm is told with the next step of a call that has just paged, rather than by a page of its own. */
export function joins(occurrence: Occurrence, call: Call, nowMs: number, { groupMs }: Paging): boolean {
  const open = openAlarms(call);
  const [first] = open;
  if (first === undefined || call.unanswered !== null || nowMs >= call.openedMs + groupMs) return false;
  if (pressing(occurrence) < pressing(first)) return false;
  return call.alarms.length > FLOOD || open.some(({ conveyor }) => conveyor === occurrence.conveyor);
}
