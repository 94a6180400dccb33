import type { BlankKey, StepKey } from '../../../agent/plan/job-card.js';
import { showText } from '../../../agent/units/display.js';
import { type CardEntry, ENTRY_SLOTS, type EntrySlot, type KeptCard, blankValue } from './card.js';
import type { MissingOnCard } from './card-answers.js';

/** An entry in the contract's own form, without the names that the agent knows it by. */
type Body = Readonly<Record<string, unknown>>;

export type WantedEntries = Readonly<Partial<Record<EntrySlot, Body>>>;

export interface ClosingContext {
  readonly nowMs: number;
  /** When the closing was first tried, ISO 8601. */
  readonly closingAt: string;
  /** Whether turns can be reckoned: the lead of the rod's thread is known. */
  readonly leadKnown: boolean;
}

/** What has to be seen to before a conveyor runs, and so before a card is closed. */
const MUST_BE_TICKED: readonly (readonly [StepKey, string])[] = [
  ['restraint-nuts-out', 'Tick that the restraint nuts are run out again.'],
  ['guards-back', 'Tick that the guards are back.'],
];

/** What a card lacks to be closed: blanks that its entries need, and the two steps that nobody may forget. */
export function missingOnCard(card: KeptCard, nowMs: number): readonly MissingOnCard[] {
  const missing: MissingOnCard[] = [];
  const asks = (blank: BlankKey, sentence: string): void => void missing.push({ blank, sentence });
  const has = (key: BlankKey): boolean => blankValue(card, key) !== undefined;
  if (card.job.kind === 'removal' && !has('done-pitches'))
    asks('done-pitches', 'Write down how many pitches were really taken out, also where it is 0.');
  if (!has('done-rock')) asks('done-rock', 'Write down whether the chain rocks as it should.');
  if (!has('done-restraint-nuts')) asks('done-restraint-nuts', 'Write down whether the restraint nuts are out.');
  if (blankValue(card, 'done-restraint-nuts') === 'in')
    asks('done-restraint-nuts', 'Run the restraint nuts out before the start: run in, they hold the carriage and the springs do nothing.');
  const doneAt = blankValue(card, 'done-at');
  if (typeof doneAt === 'string' && Date.parse(doneAt) > nowMs) asks('done-at', 'The work cannot have been done later than now.');
  for (const [step, sentence] of MUST_BE_TICKED)
    if (isOnCard(card, step) && card.ticks[step]?.done !== true) missing.push({ step, sentence });
  return missing;
}

/** The entries that a card as it is filled in stands for, by their slots. */
export function wantedEntries(card: KeptCard, { closingAt, leadKnown }: ClosingContext): WantedEntries {
  const doneAt = blankValue(card, 'done-at');
  const time = typeof doneAt === 'string' ? doneAt : closingAt;
  const { conveyor, takeup } = card;
  const wanted: Partial<Record<EntrySlot, Body>> = {};
  const pitches = blankValue(card, 'done-pitches');
  const carriers = blankValue(card, 'done-carriers');
  if (typeof pitches === 'number' && pitches > 0)
    wanted.removed = { time, conveyor, kind: 'chain-removed', pitches, ...(typeof carriers === 'number' ? { carriers } : {}) };
  for (const side of ['left', 'right'] as const) {
    const done = nutTurned(card, side, leadKnown);
    if (done !== undefined) wanted[`nut-${side}`] = { time, conveyor, takeup, kind: 'nut-turned', side, ...done };
  }
  wanted.inspected = { time, conveyor, takeup, kind: 'inspected', ...inspected(card) };
  if (blankValue(card, 'done-lubricated') === 'yes') wanted.lubricated = { time, conveyor, kind: 'lubricated' };
  const text = noteText(card);
  if (text !== undefined) wanted.note = { time: closingAt, conveyor, takeup, kind: 'note', text };
  if (isRecorded(card, 'opened')) wanted.closed = { time: closingAt, conveyor, takeup, kind: 'service-closed' };
  return wanted;
}

/**
 * Turns where they can be reckoned, since they hold wherever the carriage has gone since; else the length that was measured. A nut that
 * was not turned is no entry.
 */
function nutTurned(card: KeptCard, side: 'left' | 'right', leadKnown: boolean): Body | undefined {
  const turns = blankValue(card, `done-turns-${side}`);
  const springMm = blankValue(card, `done-spring-${side}`);
  if (typeof turns === 'number' && (leadKnown || springMm === undefined)) return turns === 0 ? undefined : { turns };
  return typeof springMm === 'number' ? { spring_mm: springMm } : undefined;
}

function inspected(card: KeptCard): Body {
  const noise = blankValue(card, 'done-noise');
  const filings = blankValue(card, 'done-filings');
  return {
    rock: blankValue(card, 'done-rock') ?? 'ok',
    restraint_nuts: blankValue(card, 'done-restraint-nuts') ?? 'out',
    ...(noise === undefined ? {} : { noise }),
    ...(filings === undefined ? {} : { filings }),
  };
}

/** What stands on the card and has no entry of its own, in a line. */
function noteText(card: KeptCard): string | undefined {
  const word = (key: BlankKey): string | undefined => {
    const value = blankValue(card, key);
    return value === undefined ? undefined : String(value);
  };
  const length = (key: BlankKey): string => {
    const value = blankValue(card, key);
    return typeof value === 'number' ? showText('travel', value, card.units).replaceAll('\u00a0', ' ') : '–';
  };
  const pair = (label: string, left: BlankKey, right: BlankKey): readonly string[] =>
    word(left) === undefined && word(right) === undefined ? [] : [`${label} ${length(left)} left, ${length(right)} right`];
  const said = (label: string, key: BlankKey): readonly string[] => (word(key) === undefined ? [] : [`${label} ${word(key) ?? ''}`]);
  const parts = [
    ...said('locked by', 'locked-by'),
    ...(word('locked-at') === undefined ? [] : [`locked at ${momentText(word('locked-at') ?? '')}`]),
    ...said('found still by', 'verified-by'),
    ...said('hot-work permit', 'permit'),
    ...said('fire watch', 'fire-watch-by'),
    ...pair('found carriage at', 'found-position-left', 'found-position-right'),
    ...pair('found springs', 'found-spring-left', 'found-spring-right'),
    ...said('found:', 'found-note'),
    ...pair('left springs', 'done-spring-left', 'done-spring-right'),
    ...(word('done-settled') === undefined ? [] : [`settled at ${length('done-settled')}`]),
    ...said('done by', 'done-by'),
    ...said('locks off seen by', 'unlocked-by'),
    ...said('notes:', 'done-note'),
  ];
  return parts.length === 0 ? undefined : `Job card ${String(card.number)}: ${parts.join('; ')}.`;
}

/** A note is read by people wherever it goes: without the letters of ISO 8601, and saying whose clock it is. */
function momentText(iso: string): string {
  return `${iso.slice(0, 10)} ${iso.slice(11, 16)} UTC`;
}

/** The name of the entry of a slot, or of its nth correction. The agent takes one entry of a name. */
export function entryId({ number, key }: Pick<KeptCard, 'number' | 'key'>, slot: EntrySlot, correction = 0): string {
  return `card-${String(number)}-${key}-${slot}${correction === 0 ? '' : `-c${String(correction)}`}`;
}

/**
 * What is to be sent next so that the service log says what the card says; undefined where it does, or all that is left was refused.
 *
 * One whose answer was lost is sent again exactly as it was, so that it is known which of the two it is before anything else is said of
 * it. One that is recorded and has changed on the card since is corrected, one that stands there no more is struck out.
 *
 * @param tried - slots that were refused this time
 */
export function nextEntry(
  card: KeptCard,
  wanted: WantedEntries,
  tried: ReadonlySet<EntrySlot>,
  by: string,
  nowIso: string,
): CardEntry | undefined {
  for (const slot of ENTRY_SLOTS) {
    if (tried.has(slot) || (slot === 'closed' && tried.size > 0)) continue;
    const sent = card.entries.filter((entry) => entry.slot === slot);
    const doubtful = sent.find(({ state }) => state === 'in-doubt');
    if (doubtful !== undefined) return doubtful;
    const recorded = sent.filter(({ state }) => state === 'recorded');
    const want = wanted[slot];
    const [first] = recorded;
    if (first === undefined) {
      if (want !== undefined) return { slot, id: entryId(card, slot), entry: { ...want, id: entryId(card, slot), by }, state: 'in-doubt' };
      continue;
    }
    // What was opened is not opened differently afterwards.
    const changes = slot === 'opened' ? undefined : changesTo(asCorrected(recorded), want);
    if (changes === undefined) continue;
    const id = entryId(card, slot, recorded.length);
    const entry = { time: nowIso, conveyor: card.conveyor, kind: 'correction', replaces: first.id, ...changes, id, by };
    return { slot, id, entry, state: 'in-doubt' };
  }
  return undefined;
}

/** Pitches that the card's entries say are out. */
export function recordedPitches(card: KeptCard): number {
  const recorded = card.entries.filter(({ slot, state }) => slot === 'removed' && state === 'recorded');
  const body = recorded.length === 0 ? undefined : asCorrected(recorded);
  return body === undefined || typeof body['pitches'] !== 'number' ? 0 : body['pitches'];
}

export function isRecorded(card: KeptCard, slot: EntrySlot): boolean {
  return card.entries.some((entry) => entry.slot === slot && entry.state === 'recorded');
}

const NAMES = new Set(['id', 'by', 'kind', 'replaces', 'conveyor', 'takeup']);

/** What an entry says after its corrections; undefined where it is struck out. */
function asCorrected([first, ...corrections]: readonly CardEntry[]): Body | undefined {
  let body: Body | undefined = first?.entry;
  for (const { entry } of corrections) {
    if (entry['withdraw'] === true) body = undefined;
    else {
      const said = Object.entries(entry).filter(([name]) => !NAMES.has(name) && name !== 'time');
      // The time of a correction is its own; `at` is that of the work.
      body = { ...(body ?? first?.entry), ...Object.fromEntries(said.map(([name, value]) => [name === 'at' ? 'time' : name, value])) };
    }
  }
  return body;
}

/** The fields of a correction that makes one entry say what another says; undefined where it does. */
function changesTo(now: Body | undefined, want: Body | undefined): Body | undefined {
  if (want === undefined) return now === undefined ? undefined : { withdraw: true };
  const fields = new Set([...Object.keys(now ?? {}), ...Object.keys(want)].filter((name) => !NAMES.has(name)));
  const changed = [...fields].filter((name) => (now?.[name] ?? null) !== (want[name] ?? null));
  if (now !== undefined && changed.length === 0) return undefined;
  const all = now === undefined ? [...fields] : changed;
  return Object.fromEntries(all.map((name) => [name === 'time' ? 'at' : name, want[name] ?? null]));
}

function isOnCard({ card }: KeptCard, step: StepKey): boolean {
  return card.sections.some(({ lines }) => lines.some((line) => line.kind === 'step' && line.key === step));
}
