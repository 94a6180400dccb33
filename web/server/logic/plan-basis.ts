import type { Figure, TakeupNow } from '../../../agent/contract/messages.js';
import { figuresOfNow, figuresOr, springsInForce } from '../../../agent/plan/known-figures.js';
import { ASSUMPTION_SENTENCES, type GivenFigures, type TakeupState } from '../../../agent/plan/takeup-state.js';
import type { SettledDayOutput } from '../../../agent/flow/output.js';
import { localTime } from '../../../agent/units/local-time.js';
import { agoWords } from './ago-words.js';
import type { BasisAnswer } from './plan-answers.js';
import type { EntryAnswer } from './work-answers.js';

/** What is known of a take-up, from where it may be known. */
export interface KnownOfTakeup {
  readonly nowMs: number;
  readonly timezone: string;
  /** The latest picture, whoever it is of: also of an agent that has fallen silent. */
  readonly now: TakeupNow | undefined;
  /** Whether the agent is heard: a picture of a silent one is not the present. */
  readonly heard: boolean;
  /** Settled days, earliest first. */
  readonly days: readonly SettledDayOutput[];
  /** The log of the take-up, latest work first. */
  readonly log: readonly EntryAnswer[];
}

/** The figures that a plan begins with, and what is to be said of them. `assumed` follows once a state is made of them. */
export type PlanBasis = Omit<BasisAnswer, 'assumed'>;

/** Entries that move the carriage or its springs, or what a sensor says of them. */
const MOVES = /^(chain|nut|spring|sensor)-/;

/**
 * What a plan begins with: the live picture where the agent is heard and the carriage has settled, else the last settled day; and
 * before either what the query gives. Says which it is, how old, and what has been done since that it does not show.
 */
export function planBasis(known: KnownOfTakeup, asked: GivenFigures): PlanBasis {
  const given = Object.keys(asked) as (keyof GivenFigures)[];
  const live = liveFigures(known);
  const found = live ?? dayFigures(known);
  if (found === undefined) return { ...nothing(known, asked), figures: asked, given };
  const { asOfMs } = found;
  return {
    source: found.source,
    asOf: found.asOf,
    ageMs: Math.max(0, known.nowMs - asOfMs),
    sentence: found.sentence,
    figures: figuresOr(asked, found.figures),
    given,
    warnings: [...found.warnings, ...(given.includes('positionMm') ? [] : doneSince(known, asOfMs)), ...openService(known)],
  };
}

/** The basis with what was taken for granted when a state was made of it. */
export function withAssumptions(basis: PlanBasis, assumed: TakeupState['assumed']): BasisAnswer {
  return { ...basis, assumed: assumed.map((assumption) => ({ assumption, sentence: ASSUMPTION_SENTENCES[assumption] })) };
}

interface Found {
  readonly source: 'live' | 'settled-day';
  readonly asOf: string;
  readonly asOfMs: number;
  readonly sentence: string;
  readonly figures: GivenFigures;
  readonly warnings: readonly string[];
}

function liveFigures({ now, heard, nowMs, days }: KnownOfTakeup): Found | undefined {
  if (!heard || now === undefined || !isNumber(now.settledMm)) return undefined;
  const asOf = now.settledAt ?? now.time;
  const asOfMs = Date.parse(asOf);
  const own = figuresOfNow(now);
  const earlier = own.elongationPct === undefined ? lastElongation(days) : undefined;
  return {
    ...{ source: 'live', asOf, asOfMs },
    sentence: `From the live picture: the carriage settled ${agoWords(nowMs - asOfMs)} ago.`,
    figures: earlier === undefined ? own : { ...own, elongationPct: earlier.elongationPct },
    warnings: [
      ...(earlier === undefined
        ? []
        : [
            `The elongation is that of ${earlier.date}: as the carriage stands now it only bounds it, at a stop or with springs solid or free.`,
          ]),
      ...(now.trend.travelMmPerDay === null && now.trend.why !== undefined ? [`No days can be given. ${now.trend.why}`] : []),
    ],
  };
}

function dayFigures(known: KnownOfTakeup): Found | undefined {
  const { days, now, nowMs, timezone } = known;
  const day = days.findLast(({ positionMm }) => Number.isFinite(positionMm));
  if (day === undefined) return undefined;
  const elongation = Number.isFinite(day.elongationPct) && day.flag !== 'bound' ? day : lastElongation(days);
  const asOfMs = endOfDay(day.date, nowMs, timezone);
  const figures: GivenFigures = {
    positionMm: day.positionMm,
    elongationPct: elongation?.elongationPct,
    pitches: finite(day.pitches),
    springLeftMm: finite(day.springLeftMm),
    springRightMm: finite(day.springRightMm),
    travelMmPerDay: now?.trend.travelMmPerDay ?? undefined,
    breathingMm: finite(day.breathingMm),
    thermalMm: finite(day.thermalMm),
    provisional: day.flag === 'provisional',
    ...(now === undefined ? {} : springsInForce(now)),
  };
  return {
    ...{ source: 'settled-day', asOf: day.date, asOfMs, figures },
    sentence: `${whyNotLive(known)}: from the last settled day, ${day.date}, ${agoWords(nowMs - asOfMs)} old.`,
    warnings:
      elongation === undefined || elongation === day
        ? []
        : [`The elongation is that of ${elongation.date}: on ${day.date} the carriage only bounds it.`],
  };
}

function whyNotLive({ heard, now }: KnownOfTakeup): string {
  if (!heard) return 'The agent is silent';
  return now === undefined ? 'The agent says nothing of this take-up yet' : 'The carriage has no settled position now';
}

function nothing(known: KnownOfTakeup, asked: GivenFigures): Omit<PlanBasis, 'figures' | 'given'> {
  const enough = asked.positionMm !== undefined && asked.elongationPct !== undefined;
  const rest = { asOf: null, ageMs: null, warnings: openService(known) };
  if (enough) return { source: 'given', sentence: 'From the figures given alone.', ...rest };
  return { source: 'none', sentence: `${whyNotLive(known)}, and there is no settled day: give position and elongation.`, ...rest };
}

function lastElongation(days: readonly SettledDayOutput[]): SettledDayOutput | undefined {
  return days.findLast(({ elongationPct, flag }) => Number.isFinite(elongationPct) && flag === 'value');
}

/** The end of a local day, or now while it is not over: within seconds is near enough for an age. */
function endOfDay(date: string, nowMs: number, timezone: string): number {
  if (localTime(nowMs, timezone).date === date) return nowMs;
  const utcEndMs = Date.parse(`${date}T00:00:00Z`) + 86_400_000;
  const wall = localTime(utcEndMs, timezone);
  return utcEndMs - (Date.parse(`${wall.date}T${wall.seconds}Z`) - utcEndMs);
}

function doneSince({ log, timezone }: KnownOfTakeup, asOfMs: number): readonly string[] {
  const since = log.filter(({ timeMs, state, entry }) => timeMs > asOfMs && state !== 'withdrawn' && MOVES.test(String(entry['kind'])));
  if (since.length === 0) return [];
  const told = since.map(({ timeMs, entry }) => {
    const { date, minutes } = localTime(timeMs, timezone);
    return `${String(entry['kind'])} on ${date} at ${minutes}`;
  });
  return [`Work was done since that these figures do not show (${told.join(', ')}): plan anew when the carriage has settled.`];
}

function openService({ now, timezone }: KnownOfTakeup): readonly string[] {
  if (now === undefined || now.service === null) return [];
  const { date, minutes } = localTime(Date.parse(now.service.since), timezone);
  return [`A service is open on this take-up since ${date} ${minutes}${now.service.by === undefined ? '' : `, by ${now.service.by}`}.`];
}

function isNumber(figure: Figure): figure is number {
  return typeof figure === 'number';
}

function finite(value: number): number | undefined {
  return Number.isFinite(value) ? value : undefined;
}
