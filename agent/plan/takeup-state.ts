import type { Conveyor, Spring, Takeup } from '../site/site.js';
import { showText, unitOf, type UnitSystem } from '../units/display.js';
import { type BothSides, type SideSpring, SIDES, forBothSides, springsAsSet } from './side-springs.js';

/** Figures of a take-up as far as they are known, from a person, a replay's summary or the live picture. */
export interface GivenFigures {
  /** Settled position from the inner stop. */
  readonly positionMm?: number | undefined;
  readonly elongationPct?: number | undefined;
  readonly pitches?: number | undefined;
  readonly springLeftMm?: number | undefined;
  readonly springRightMm?: number | undefined;
  /** The springs that are in force. Default: those of the site file. */
  readonly springs?: BothSides<Spring> | undefined;
  /** Outward travel a day by wear. */
  readonly travelMmPerDay?: number | undefined;
  readonly breathingMm?: number | undefined;
  /** What heat adds to the chain, mm of chain, against its reference temperatures. */
  readonly thermalMm?: number | undefined;
  /** The elongation counts from a step that nothing explains. */
  readonly provisional?: boolean | undefined;
}

/** A take-up as it stands: what a plan begins with. */
export interface TakeupState {
  readonly positionMm: number;
  /** ε as a ratio. */
  readonly elongation: number;
  readonly pitches: number;
  readonly sides: BothSides<SideSpring>;
  /** Undefined where the wear is not known, or not above 0. */
  readonly travelMmPerDay: number | undefined;
  readonly breathingMm: number;
  readonly thermalMm: number;
  readonly assumed: readonly Assumption[];
}

/** What was taken for granted because nothing said otherwise. */
export type Assumption =
  'pitches-as-in-site' | 'springs-as-set' | 'no-breathing' | 'no-heat' | 'wear-rate-unknown' | 'elongation-provisional';

export const ASSUMPTION_SENTENCES: Readonly<Record<Assumption, string>> = {
  'pitches-as-in-site': 'The chain is taken to have as many pitches as the site file says.',
  'springs-as-set':
    'The springs are taken to be as the nuts were set in the site file, and the turns follow from that: measure them before the work.',
  'no-breathing': 'The carriage is taken to stand still: no breathing was given.',
  'no-heat': 'The chain is taken to be at its reference temperature.',
  'wear-rate-unknown': 'The wear is not known as a rate, so no days are given.',
  'elongation-provisional': 'The elongation rests on a step that no service entry explains: settle that first.',
};

/** A figure that a plan cannot begin with. */
export type StateFault =
  | { readonly fault: 'position-missing' }
  | { readonly fault: 'elongation-missing' }
  | { readonly fault: 'position-outside-stroke'; readonly positionMm: number; readonly strokeMm: number }
  | { readonly fault: 'elongation-impossible'; readonly elongationPct: number }
  | { readonly fault: 'pitches-not-whole'; readonly pitches: number }
  | { readonly fault: 'spring-not-above-zero'; readonly springMm: number }
  | { readonly fault: 'breathing-negative'; readonly breathingMm: number };

export type StateReading =
  { readonly ok: true; readonly state: TakeupState } | { readonly ok: false; readonly faults: readonly StateFault[] };

/** More than this and the figure is a slip of the pen: chain is worn out long before. */
const MOST_ELONGATION_PCT = 20;

/** The state that a plan begins with, from figures as far as they are known; every fault at once where they will not do. */
export function takeupState(conveyor: Pick<Conveyor, 'chain'>, takeup: Takeup, given: GivenFigures): StateReading {
  const { positionMm, elongationPct } = given;
  const faults = faultsOf(takeup, given);
  if (positionMm === undefined || elongationPct === undefined || faults.length > 0) return { ok: false, faults };
  const asSet = springsAsSet(takeup, positionMm);
  const measured = { left: given.springLeftMm, right: given.springRightMm };
  const travel = given.travelMmPerDay;
  return {
    ok: true,
    state: {
      positionMm,
      elongation: elongationPct / 100,
      pitches: given.pitches ?? conveyor.chain.pitches,
      sides: forBothSides((side) => ({
        spring: given.springs?.[side] ?? asSet[side].spring,
        springMm: measured[side] ?? asSet[side].springMm,
      })),
      travelMmPerDay: travel !== undefined && travel > 0 ? travel : undefined,
      breathingMm: given.breathingMm ?? 0,
      thermalMm: given.thermalMm ?? 0,
      assumed: assumptionsOf(given),
    },
  };
}

function faultsOf({ strokeMm }: Takeup, given: GivenFigures): readonly StateFault[] {
  const { positionMm, elongationPct, pitches, breathingMm } = given;
  const faults: StateFault[] = [];
  if (positionMm === undefined) faults.push({ fault: 'position-missing' });
  else if (!(positionMm >= 0 && positionMm <= strokeMm)) faults.push({ fault: 'position-outside-stroke', positionMm, strokeMm });
  if (elongationPct === undefined) faults.push({ fault: 'elongation-missing' });
  else if (!(Math.abs(elongationPct) <= MOST_ELONGATION_PCT)) faults.push({ fault: 'elongation-impossible', elongationPct });
  if (pitches !== undefined && !(Number.isInteger(pitches) && pitches > 0)) faults.push({ fault: 'pitches-not-whole', pitches });
  for (const springMm of [given.springLeftMm, given.springRightMm]) {
    if (springMm !== undefined && !(springMm > 0)) faults.push({ fault: 'spring-not-above-zero', springMm });
  }
  if (breathingMm !== undefined && !(breathingMm >= 0)) faults.push({ fault: 'breathing-negative', breathingMm });
  return faults;
}

function assumptionsOf(given: GivenFigures): readonly Assumption[] {
  const assumed: Assumption[] = [];
  if (given.pitches === undefined) assumed.push('pitches-as-in-site');
  if (SIDES.some((side) => (side === 'left' ? given.springLeftMm : given.springRightMm) === undefined)) assumed.push('springs-as-set');
  if (given.breathingMm === undefined) assumed.push('no-breathing');
  if (given.thermalMm === undefined) assumed.push('no-heat');
  if (given.travelMmPerDay === undefined || given.travelMmPerDay <= 0) assumed.push('wear-rate-unknown');
  if (given.provisional === true) assumed.push('elongation-provisional');
  return assumed;
}

/** A fault as a person is told it, with what to do. */
export function stateFaultSentence(fault: StateFault, system: UnitSystem): string {
  const length = (mm: number): string => showText('travel', mm, system);
  switch (fault.fault) {
    case 'position-missing':
      return `the position of the carriage is not known: measure it from the inner stop, and give it in ${unitOf('travel', system)}`;
    case 'elongation-missing':
      return 'the elongation of the chain is not known: give it in per cent';
    case 'position-outside-stroke':
      return `the carriage cannot stand at ${length(fault.positionMm)} of a stroke of ${length(fault.strokeMm)}: measure from the inner stop`;
    case 'elongation-impossible':
      return `an elongation of ${String(fault.elongationPct)} % cannot be: give it in per cent of the chain's length`;
    case 'pitches-not-whole':
      return `${String(fault.pitches)} pitches cannot be: count whole pitches in the circuit`;
    case 'spring-not-above-zero':
      return `a spring cannot be ${length(fault.springMm)} long: measure it from end to end`;
    case 'breathing-negative':
      return `a breathing of ${length(fault.breathingMm)} cannot be: give the range of the carriage's to-and-fro`;
  }
}
