import { carriagePerChainMm } from '../flow/takeup/travel.js';
import type { Conveyor, Takeup } from '../site/site.js';
import { showText, type UnitSystem } from '../units/display.js';
import { pitchesText } from './removal-words.js';
import { type BothSides, SIDES, forBothSides } from './side-springs.js';

/** A take-up as a settled window or a settled day left it. */
export interface Standing {
  /** End of the window, ISO 8601, or the date of the day. */
  readonly asOf: string;
  readonly positionMm: number;
  /** ε as a ratio; absent where the position only bounds it. */
  readonly elongation?: number;
  /** In the circuit, by the service entries known then. */
  readonly pitches: number;
  readonly thermalMm?: number;
  readonly springMm?: BothSides<number>;
}

/** What of a plan the carriage can be asked for afterwards. */
export interface PlannedJob {
  /** To come out; 0 where only the nuts are turned. */
  readonly pitches: number;
  /** Where the carriage stood when it was planned, and where it was to settle. */
  readonly fromMm: number;
  readonly settlesAtMm: number;
  /** Spring lengths with the carriage there. */
  readonly springMm: BothSides<number>;
}

export interface JobCheckInput {
  /** Undefined where nobody planned it, or not here. */
  readonly planned: PlannedJob | undefined;
  /** Pitches out by the service entries of the job, as corrected since. */
  readonly recordedPitches: number;
  /** The same as they stood when `after` settled, on which its account rests. */
  readonly accountedPitches: number;
  /** Why the two cannot be compared, to follow a colon; undefined where nothing else happened. */
  readonly disturbed: string | undefined;
  readonly before: Standing | undefined;
  /** The first that settled an hour or more after the restart; undefined while there is none. */
  readonly after: Standing | undefined;
  readonly conveyor: Conveyor;
  /** Of the conveyor. */
  readonly takeup: Takeup;
  readonly system: UnitSystem;
}

export type JobVerdict =
  | 'not-yet' // it must run an hour first
  | 'agrees'
  | 'count-differs' // the carriage says another number of pitches than was written down
  | 'plan-differs' // it says what was written down, and that is not what was planned
  | 'springs-differ' // the count is right, and the springs are not as planned
  | 'cannot-say';

/** What the carriage says of a job, after an hour of running. Lengths in mm; moves positive outwards. */
export interface JobCheck {
  readonly verdict: JobVerdict;
  /** As a person is told it. */
  readonly sentence: string;
  /** Of the position that it rests on; absent where there is none. */
  readonly asOf?: string;
  readonly pitches?: { readonly planned: number | null; readonly recorded: number; readonly seen: number };
  /** What was planned, with the heat that the chain has taken on or lost since; and what was seen. */
  readonly move?: { readonly expectedMm: number | null; readonly seenMm: number };
  readonly springs?: BothSides<{ readonly expectedMm: number; readonly seenMm: number }>;
}

/** Within a quarter of a pitch of a whole number of repeats, that number is believed (mechanics §7). */
const QUARTER_PITCH = 0.25;
/** Nearer than this to a stop a position is a bound. */
const AT_STOP_MM = 0.5;
/** A spring within this of its planned length is as planned: quarter turns, and a sensor of a millimetre or so. */
const SPRING_MM = 3;

/**
 * Holds a job against where the carriage settled afterwards.
 *
 * Pitches seen: the account of the chain counts by the entries written down; had they been right, ε would be the same before and after
 * (mechanics §2). From n·p·(1+ε) being the same length whatever n is believed, seen = accounted − n_after·(ε_after − ε_before)/(1 + ε_before).
 * Heat, stretch and the other take-ups are in ε already. Where the carriage only bounds ε before or after, the move itself is taken, heat
 * taken off.
 */
export function checkJob(input: JobCheckInput): JobCheck {
  const { before, after, takeup } = input;
  if (after === undefined) return { verdict: 'not-yet', sentence: 'Not yet: it must run an hour first.' };
  const { asOf, positionMm } = after;
  if (before === undefined) return cannotSay('the carriage had no settled position before the work', asOf);
  if (positionMm <= AT_STOP_MM) return cannotSay('the carriage stands at its inner stop: too much came out, or something holds it', asOf);
  if (positionMm >= takeup.strokeMm - AT_STOP_MM) return cannotSay('the carriage stands at its outer stop', asOf);
  if (input.disturbed !== undefined) return cannotSay(input.disturbed, asOf);
  const figures = figuresOf(input, before, after);
  return { ...verdictOf(input, figures), asOf, ...withoutUndefined(figures) };
}

type Figures = Pick<JobCheck, 'springs'> & Required<Pick<JobCheck, 'pitches' | 'move'>>;

function figuresOf(input: JobCheckInput, before: Standing, after: Standing): Figures {
  const { planned, recordedPitches, accountedPitches } = input;
  const heatMm = ((after.thermalMm ?? 0) - (before.thermalMm ?? after.thermalMm ?? 0)) * perChainMm(input);
  const expectedMm = planned === undefined ? null : planned.settlesAtMm - planned.fromMm + heatMm;
  const seenMm = after.positionMm - before.positionMm;
  const seen = seenByElongation(accountedPitches, before, after) ?? (heatMm - seenMm) / onePitchMm(input, before);
  const stretchedMm = planned === undefined || expectedMm === null ? 0 : before.positionMm + expectedMm - planned.settlesAtMm;
  const { springMm } = after;
  return {
    pitches: { planned: planned?.pitches ?? null, recorded: recordedPitches, seen },
    move: { expectedMm, seenMm },
    ...(planned === undefined || springMm === undefined
      ? {}
      : { springs: forBothSides((side) => ({ expectedMm: planned.springMm[side] + stretchedMm, seenMm: springMm[side] })) }),
  };
}

function seenByElongation(accounted: number, before: Standing, after: Standing): number | undefined {
  if (before.elongation === undefined || after.elongation === undefined) return undefined;
  return accounted - (after.pitches * (after.elongation - before.elongation)) / (1 + before.elongation);
}

/** Travel of the carriage for one pitch. */
function onePitchMm(input: JobCheckInput, { elongation = 0 }: Standing): number {
  return input.conveyor.chain.pitchMm * (1 + elongation) * perChainMm(input);
}

/** Travel of the carriage per mm of chain. */
function perChainMm({ conveyor, takeup }: JobCheckInput): number {
  return carriagePerChainMm(
    conveyor,
    conveyor.takeups.findIndex(({ id }) => id === takeup.id),
  );
}

function verdictOf(input: JobCheckInput, figures: Figures): Pick<JobCheck, 'verdict' | 'sentence'> {
  const { planned, recorded, seen } = figures.pitches;
  const { repeatPitches } = input.conveyor.chain;
  const whole = Math.round(seen / repeatPitches) * repeatPitches;
  if (Math.abs(seen - whole) > QUARTER_PITCH) {
    const sentence = `Cannot say: the carriage says ${seen.toFixed(1)} pitches out, which is no whole number of repeats. Look for a nut turned and not written down, a sensor that was moved, or a chain that is held somewhere.`;
    return { verdict: 'cannot-say', sentence };
  }
  const says = whole < 0 ? `${pitchesText(-whole)} in` : String(whole);
  if (whole !== recorded) {
    const written = planned === recorded ? 'were planned and written down' : 'were written down';
    return { verdict: 'count-differs', sentence: `${pitchesText(recorded)} ${written}, the carriage says ${says}: check the count.` };
  }
  const same = recorded === 0 ? 'no chain is out' : `${pitchesText(recorded)} out`;
  if (planned !== null && planned !== recorded) {
    const sentence = `${pitchesText(planned)} were planned, ${String(recorded)} written down, and the carriage says the same: ${same}.`;
    return { verdict: 'plan-differs', sentence };
  }
  const off = springsOff(input, figures);
  if (off.length === 0) return { verdict: 'agrees', sentence: `The carriage says the same: ${same}.` };
  return { verdict: 'springs-differ', sentence: `The carriage says the same: ${same}. But ${off.join(', and ')}: check the turns.` };
}

function springsOff({ takeup, system }: JobCheckInput, { springs }: Figures): readonly string[] {
  if (springs === undefined) return [];
  return SIDES.flatMap((side) => {
    const { expectedMm, seenMm } = springs[side];
    const off = seenMm - expectedMm;
    if (Math.abs(off) <= Math.max(SPRING_MM, takeup.nutLeadMm ?? 0)) return [];
    return [`the ${side} spring is ${showText('travel', Math.abs(off), system)} ${off > 0 ? 'longer' : 'shorter'} than planned`];
  });
}

function cannotSay(why: string, asOf: string): JobCheck {
  return { verdict: 'cannot-say', sentence: `Cannot say: ${why}.`, asOf };
}

function withoutUndefined(figures: Figures): Figures {
  const { pitches, move, springs } = figures;
  return { pitches, move, ...(springs === undefined ? {} : { springs }) };
}
