import type { BlankValue } from '../../../agent/plan/card-blanks.js';
import type { BlankKey, CardLine, JobCard, StepKey } from '../../../agent/plan/job-card.js';
import type { CardAnswer, CardChange } from '../../server/logic/card-answers.js';
import { blankText, readBlank, type BlankContext } from './card-blanks.js';

/** What somebody else wrote in a blank while this device was filling it in. */
export interface Clash {
  readonly theirs: BlankValue;
  readonly by: string;
}

/** A card as this device keeps it: neither a reload nor a lost connection takes anything away. */
export interface KeptCard {
  /** As the server told it last. */
  readonly card: CardAnswer;
  /** What was typed and the server does not have yet, as it was typed. */
  readonly typed: Readonly<Partial<Record<BlankKey, string>>>;
  readonly ticks: Readonly<Partial<Record<StepKey, boolean>>>;
  /** Blanks of which a person has to say whose writing holds. */
  readonly clashes: Readonly<Partial<Record<BlankKey, Clash>>>;
  /** The work has begun here; the server does not know yet. */
  readonly beginning: boolean;
  /** It is to be closed as soon as the server can be reached. */
  readonly closing: boolean;
  /** Why the server did not take it, where trying again does not help. */
  readonly refused: string | undefined;
  /** Who wrote what waits here; undefined before anybody did. */
  readonly by: string | undefined;
}

/** A card as it comes, with nothing of this device's own. */
export function keep(card: CardAnswer): KeptCard {
  return { card, typed: {}, ticks: {}, clashes: {}, beginning: false, closing: false, refused: undefined, by: undefined };
}

/** Who fills a card in on this device, and in what. */
export interface KeeperContext extends BlankContext {
  readonly me: string;
}

/**
 * The same with a fresh word of the server. What is typed here stays; where somebody else has written in the same blank since, a person
 * has to say which holds before anything of it is sent.
 */
export function renewed(kept: KeptCard, card: CardAnswer, context: KeeperContext): KeptCard {
  if (card.version < kept.card.version) return kept;
  const clashes: Partial<Record<BlankKey, Clash>> = { ...kept.clashes };
  for (const [key, text] of entriesOf(kept.typed)) {
    const filled = card.blanks[key];
    if (filled === undefined || filled.version <= kept.card.version || filled.by === context.me) continue;
    if (blankText(key, filled.value, context) !== text.trim()) clashes[key] = { theirs: filled.value, by: filled.by };
  }
  return { ...kept, card, clashes, closing: kept.closing && Object.keys(clashes).length === 0 };
}

export function typedIn(kept: KeptCard, key: BlankKey, text: string): KeptCard {
  return untroubled({ ...kept, typed: { ...kept.typed, [key]: text } });
}

export function ticked(kept: KeptCard, key: StepKey, done: boolean): KeptCard {
  return untroubled({ ...kept, ticks: { ...kept.ticks, [key]: done } });
}

/** The work begins: a service is opened on the take-up, which is the first of the steps. */
export function begun(kept: KeptCard): KeptCard {
  return { ...ticked(kept, 'open-service', true), beginning: true };
}

/** A person has said that their own writing holds, or that the other's does. */
export function settled(kept: KeptCard, key: BlankKey, whose: 'mine' | 'theirs'): KeptCard {
  return untroubled({
    ...kept,
    clashes: without(kept.clashes, key),
    typed: whose === 'mine' ? kept.typed : without(kept.typed, key),
  });
}

/** Whoever changes something means to go on: an earlier refusal or wish to close is over. */
function untroubled(kept: KeptCard): KeptCard {
  return { ...kept, closing: false, refused: undefined };
}

/** What stands in a blank: what was typed here, else what the server has. */
export function textIn({ card, typed }: KeptCard, key: BlankKey, context: BlankContext): string {
  const own = typed[key];
  if (own !== undefined) return own;
  const filled = card.blanks[key];
  return filled === undefined ? '' : blankText(key, filled.value, context);
}

export function isTicked({ card, ticks }: KeptCard, key: StepKey): boolean {
  return ticks[key] ?? card.ticks[key]?.done ?? false;
}

/** What is wrong with what is typed, by the blank. */
export function faultsIn({ typed }: KeptCard, context: BlankContext): Readonly<Partial<Record<BlankKey, string>>> {
  const faults: Partial<Record<BlankKey, string>> = {};
  for (const [key, text] of entriesOf(typed)) {
    const read = readBlank(key, text, context);
    if ('fault' in read) faults[key] = read.fault;
  }
  return faults;
}

/** What the server is to be told; undefined where it has everything that can be told. */
export function changeOf({ card, typed, ticks, clashes }: KeptCard, context: BlankContext): CardChange | undefined {
  const blanks: Partial<Record<BlankKey, BlankValue | null>> = {};
  for (const [key, text] of entriesOf(typed)) {
    const read = readBlank(key, text, context);
    if ('value' in read && !(key in clashes)) blanks[key] = read.value;
  }
  if (Object.keys(blanks).length === 0 && Object.keys(ticks).length === 0) return undefined;
  return { version: card.version, blanks, ticks };
}

/**
 * The server has taken a change; what was typed meanwhile, and what could not be sent, still waits.
 *
 * @param sent - what was kept when `change` was made of it
 */
export function takenIn(kept: KeptCard, sent: KeptCard, change: CardChange, card: CardAnswer, context: KeeperContext): KeptCard {
  const typed = entriesOf(kept.typed).filter(([key, text]) => !(key in (change.blanks ?? {})) || sent.typed[key] !== text);
  const ticks = Object.entries(kept.ticks).filter(([key, done]) => change.ticks?.[key as StepKey] !== done);
  return renewed({ ...kept, typed: Object.fromEntries(typed), ticks: Object.fromEntries(ticks) }, card, context);
}

/** Whether something waits here for the server that whoever is signed in may send. */
export function waits(kept: KeptCard, context: KeeperContext): boolean {
  if (kept.refused !== undefined || othersWriting(kept, context.me) !== undefined) return false;
  return kept.closing || kept.beginning || changeOf(kept, context) !== undefined;
}

/**
 * Whose unsent writing is kept here, where that is somebody else: a device goes from hand to hand. It goes out in nobody's name but theirs.
 *
 * @param me - who is signed in
 */
export function othersWriting(kept: KeptCard, me: string): string | undefined {
  const unsent = kept.closing || kept.beginning || Object.keys(kept.typed).length + Object.keys(kept.ticks).length > 0;
  return unsent && kept.by !== me ? kept.by : undefined;
}

/** Every line of a card, in the order of the work. */
function linesOf({ sections }: JobCard): readonly CardLine[] {
  return sections.flatMap(({ lines }) => lines);
}

/** The steps that nobody has ticked yet. */
export function stepsLeft(kept: KeptCard): readonly string[] {
  return linesOf(kept.card.card).flatMap((line) => (line.kind === 'step' && !isTicked(kept, line.key) ? [line.text] : []));
}

export function stepsAll({ card }: KeptCard): number {
  return linesOf(card.card).filter(({ kind }) => kind === 'step').length;
}

/** How a card is kept, for the person who fills it in. */
export function keptWords(kept: KeptCard, reachable: boolean, context: KeeperContext): string {
  if (kept.refused !== undefined) return `Not taken: ${kept.refused}`;
  if (Object.keys(kept.clashes).length > 0) return 'Somebody else wrote in the same blank: say which holds.';
  if (!waits(kept, context)) {
    const faulty = Object.keys(kept.typed).length;
    return faulty === 0 ? 'Everything is kept and sent.' : 'Kept on this device; a marked blank cannot be sent as it is.';
  }
  if (!reachable) {
    return kept.closing
      ? 'Kept on this device. No connection: the card is closed as soon as there is one.'
      : 'Kept on this device. No connection: it is sent as soon as there is one.';
  }
  return kept.closing ? 'Closing …' : 'Kept on this device, being sent …';
}

/** What was kept as text, read back; undefined where it is nothing of ours. */
export function parseKept(text: string): KeptCard | undefined {
  try {
    const json: unknown = JSON.parse(text);
    if (!isRecord(json) || !isRecord(json['card']) || typeof json['card']['number'] !== 'number') return undefined;
    if (!isRecord(json['card']['card']) || !Array.isArray(json['card']['card']['sections'])) return undefined;
    // What this program kept has the shape of what it keeps; what an older one did not know is as if it had just come.
    const kept = json as unknown as KeptCard;
    return { ...keep(kept.card), ...kept };
  } catch {
    return undefined;
  }
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function entriesOf<Value>(record: Readonly<Partial<Record<BlankKey, Value>>>): readonly (readonly [BlankKey, Value])[] {
  return Object.entries(record) as [BlankKey, Value][];
}

function without<Value>(record: Readonly<Partial<Record<BlankKey, Value>>>, key: BlankKey): Readonly<Partial<Record<BlankKey, Value>>> {
  return Object.fromEntries(entriesOf(record).filter(([name]) => name !== key));
}
