import { type BlankValue, readBlank } from '../../../agent/plan/card-blanks.js';
import type { BlankKey, CardLine, JobCard, StepKey } from '../../../agent/plan/job-card.js';
import type { PlannedJob, Standing } from '../../../agent/plan/job-check.js';
import type { UnitSystem } from '../../../agent/units/display.js';
import { formatTime } from '../../../agent/units/time.js';
import type { CardChange, CardEntryAnswer, CardJob, CardState, FilledBlank, TickedStep } from './card-answers.js';
import type { BasisAnswer } from './plan-answers.js';

/** An entry that a card has sent, or is sending. Of one slot there is the entry itself, and after it its corrections. */
export interface CardEntry extends CardEntryAnswer {
  readonly slot: EntrySlot;
}

/** What a card may write, in the order in which it is written. */
export const ENTRY_SLOTS = ['opened', 'removed', 'nut-left', 'nut-right', 'inspected', 'lubricated', 'note', 'closed'] as const;
export type EntrySlot = (typeof ENTRY_SLOTS)[number];

interface Signed {
  readonly by: string;
  readonly at: string;
}

/** A job card as it is kept. */
export interface KeptCard {
  readonly number: number;
  /** Part of the names of its entries, so that cards of two web servers, or of a data folder made anew, are never taken for one another. */
  readonly key: string;
  readonly request: string;
  readonly conveyor: string;
  readonly takeup: string;
  readonly job: CardJob;
  readonly units: UnitSystem;
  readonly state: CardState;
  /** Counts up with every change. */
  readonly version: number;
  readonly made: Signed;
  readonly begun?: Signed;
  /** When its closing was first tried: its entries bear this time however often it takes. */
  readonly closing?: Signed;
  readonly ended?: Signed & { readonly why?: string };
  readonly card: JobCard;
  readonly basis: BasisAnswer;
  readonly planned: PlannedJob;
  readonly ticks: Readonly<Partial<Record<StepKey, TickedStep>>>;
  readonly blanks: Readonly<Partial<Record<BlankKey, FilledBlank>>>;
  readonly entries: readonly CardEntry[];
  /** The last settled standing before the work. */
  readonly before?: Standing;
  /** Hours that the conveyor had run at the restart; absent while nobody could tell. */
  readonly restartRunHours?: number;
  /** The first settled standing an hour or more after it. */
  readonly after?: Standing;
}

export type Changed =
  | { readonly ok: true; readonly card: KeptCard }
  | { readonly ok: false; readonly why: 'stale' | 'not-open' | 'bad-request'; readonly sentence: string };

/**
 * Writes blanks and ticks on a card. The last write of each holds; but what somebody else has written since the version that the writer
 * saw is not written over unseen, and then nothing of the change is kept.
 *
 * @param by - who writes, and when
 */
export function changeCard(card: KeptCard, change: CardChange, by: string, atMs: number): Changed {
  if (card.state !== 'open') return { ok: false, why: 'not-open', sentence: notOpen(card) };
  const lines = card.card.sections.flatMap((section) => section.lines);
  const faults: string[] = [];
  const stale: string[] = [];
  const signed = { by, at: formatTime(atMs), version: card.version + 1 };
  const blanks = new Map(Object.entries(card.blanks));
  for (const [name, value] of Object.entries(change.blanks ?? {})) {
    const blank = blankOf(lines, name);
    if (blank === undefined) {
      faults.push(`The card has no blank ${name}.`);
      continue;
    }
    const read = value === null || value === '' ? undefined : readBlank(blank.key, value);
    if (read?.ok === false) faults.push(`${blank.label}: ${read.sentence}`);
    const before = card.blanks[blank.key];
    const same = before?.value === (read?.ok === true ? read.value : undefined);
    if (before !== undefined && !same && isStale(before, change.version, by)) stale.push(staleSentence(blank.label, before));
    if (read?.ok === true && !same) blanks.set(blank.key, { value: read.value, ...signed });
    if (read === undefined) blanks.delete(blank.key);
  }
  const ticks: Partial<Record<StepKey, TickedStep>> = { ...card.ticks };
  for (const [name, done] of Object.entries(change.ticks ?? {})) {
    const step = stepOf(lines, name);
    if (step === undefined) {
      faults.push(`The card has no step ${name}.`);
      continue;
    }
    const before = card.ticks[step.key];
    if (before !== undefined && before.done !== done && isStale(before, change.version, by))
      stale.push(`"${step.text}" was ${before.done ? 'ticked' : 'unticked'} by ${before.by} meanwhile.`);
    if (before?.done !== done) ticks[step.key] = { done, ...signed };
  }
  if (faults.length > 0) return { ok: false, why: 'bad-request', sentence: faults.join(' ') };
  if (stale.length > 0) return { ok: false, why: 'stale', sentence: `${stale.join(' ')} Look at the card as it is now, then write again.` };
  return { ok: true, card: { ...card, version: card.version + 1, blanks: Object.fromEntries(blanks), ticks } };
}

/** Gives a card up that was not worked off: what it was for is kept, and why. */
export function dropCard(card: KeptCard, why: string, by: string, atMs: number): Changed {
  if (card.state !== 'open') return { ok: false, why: 'not-open', sentence: notOpen(card) };
  const worked = card.entries.some(({ slot, state }) => slot !== 'opened' && state !== 'refused');
  if (worked)
    return {
      ok: false,
      why: 'not-open',
      sentence: 'Some of it stands in the service log already: close the card, or correct the entries there.',
    };
  const ended = { by, at: formatTime(atMs), why };
  return { ok: true, card: { ...card, version: card.version + 1, state: 'dropped', ended } };
}

/** Why a card takes nothing more. */
export function notOpen({ state, ended }: KeptCard): string {
  return `The card was ${state} by ${ended?.by ?? 'somebody'}: what it says is in the service log, and is corrected there.`;
}

/** What stands in a blank; undefined where it is empty. */
export function blankValue(card: Pick<KeptCard, 'blanks'>, key: BlankKey): BlankValue | undefined {
  return card.blanks[key]?.value;
}

/** What is written by oneself is one's own to write over, whatever one saw. */
function isStale(before: { readonly version: number; readonly by: string }, seen: number, by: string): boolean {
  return before.version > seen && before.by !== by;
}

function staleSentence(label: string, { value, by }: FilledBlank): string {
  return `"${label}" was filled in by ${by} meanwhile: ${String(value)}.`;
}

type Blank = Extract<CardLine, { kind: 'blank' }>;
type Step = Extract<CardLine, { kind: 'step' }>;

function blankOf(lines: readonly CardLine[], name: string): Blank | undefined {
  return lines.find((line): line is Blank => line.kind === 'blank' && line.key === name);
}

function stepOf(lines: readonly CardLine[], name: string): Step | undefined {
  return lines.find((line): line is Step => line.kind === 'step' && line.key === name);
}
