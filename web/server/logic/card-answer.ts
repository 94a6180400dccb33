import { type JobCheck, checkJob } from '../../../agent/plan/job-check.js';
import type { Conveyor, Takeup } from '../../../agent/site/site.js';
import type { KeptCard } from './card.js';
import type { CardAnswer, CardHead } from './card-answers.js';
import { entryId, recordedPitches } from './card-entries.js';
import type { EntryAnswer } from './work-answers.js';

/** What a card is shown with beside what it says itself. */
export interface CardContext {
  /** Undefined where the site file no longer has it: the card is shown all the same. */
  readonly place: { readonly conveyor: Conveyor; readonly takeup: Takeup } | undefined;
  /** The log of the site; empty where it cannot be read. */
  readonly log: readonly EntryAnswer[];
}

/** A card as a list shows it. */
export function cardHead(card: KeptCard, context: CardContext): CardHead {
  const { number, conveyor, takeup, job, state, version, made, begun, ended } = card;
  const steps = card.card.sections.flatMap(({ lines }) => lines.flatMap((line) => (line.kind === 'step' ? [line.key] : [])));
  const verification = verificationOf(card, context);
  return {
    ...{ number, conveyor, takeup, job, state, version },
    title: card.card.title,
    madeBy: made.by,
    madeAt: made.at,
    ...(begun === undefined ? {} : { begun }),
    ...(ended === undefined ? {} : { ended }),
    steps: { done: steps.filter((key) => card.ticks[key]?.done === true).length, all: steps.length },
    ...(verification === undefined ? {} : { verification }),
  };
}

/** A card as a whole. */
export function cardAnswer(card: KeptCard, context: CardContext): CardAnswer {
  const { units, basis, ticks, blanks } = card;
  const entries = card.entries.map(({ id, entry, state, why }) => ({ id, entry, state, ...(why === undefined ? {} : { why }) }));
  return { ...cardHead(card, context), card: card.card, units, basis, ticks, blanks, entries };
}

/** What the carriage says of a closed card. */
function verificationOf(card: KeptCard, { place, log }: CardContext): JobCheck | undefined {
  if (card.state !== 'closed' || place === undefined) return undefined;
  const { conveyor, takeup } = place;
  const own = log.find(({ id }) => id === entryId(card, 'removed'));
  const { before, after } = card;
  const others = before === undefined || after === undefined ? NO_OTHERS : chainWorkBetween(log, card, before.asOf, after.asOf);
  return checkJob({
    planned: card.planned,
    recordedPitches: own === undefined ? recordedPitches(card) : pitchesOf(own),
    accountedPitches: (before?.pitches ?? 0) - (after?.pitches ?? 0) - others.pitches,
    disturbed: others.disturbed,
    ...{ before, after, conveyor, takeup },
    system: card.units,
  });
}

interface Others {
  readonly pitches: number;
  readonly disturbed: string | undefined;
}

const NO_OTHERS: Others = { pitches: 0, disturbed: undefined };

/** What others did to the chain between the two settled positions that a job is judged by. */
function chainWorkBetween(log: readonly EntryAnswer[], card: KeptCard, from: string, to: string): Others {
  const [fromMs, toMs] = [Date.parse(from), Date.parse(to)];
  const own = entryId(card, 'removed');
  const between = log.filter(
    ({ id, conveyor, timeMs, state }) =>
      id !== own && conveyor === card.conveyor && state !== 'withdrawn' && timeMs > fromMs && timeMs <= toMs,
  );
  const kinds = new Set(between.map(({ entry }) => entry['kind']));
  if (kinds.has('chain-replaced')) return { pitches: 0, disturbed: 'the chain was replaced meanwhile' };
  if (kinds.has('chain-inserted')) return { pitches: 0, disturbed: 'chain was put in meanwhile' };
  const removed = between.filter(({ entry }) => entry['kind'] === 'chain-removed');
  return { pitches: removed.reduce((sum, entry) => sum + pitchesOf(entry), 0), disturbed: undefined };
}

function pitchesOf({ entry, state }: EntryAnswer): number {
  const pitches = entry['pitches'];
  return state === 'withdrawn' || typeof pitches !== 'number' ? 0 : pitches;
}
