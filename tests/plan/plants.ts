import { type GivenFigures, type TakeupState, stateFaultSentence, takeupState } from '../../agent/plan/takeup-state.js';
import { readSite } from '../../agent/site/read-site.js';
import { reevingGain } from '../../agent/site/reeving-gain.js';
import type { Chain, Conveyor, PathSegment, Spring, Takeup } from '../../agent/site/site.js';
import { goodSite } from '../site/fixture-files.js';

export interface Plant {
  readonly conveyor: Conveyor;
  readonly takeup: Takeup;
}

/** What a plant has other than the enamel line of the full fixture site, which has no stiffness here unless it is given one. */
export interface PlantChange {
  readonly chain?: Partial<Chain>;
  readonly takeup?: Partial<Takeup>;
  readonly spring?: Partial<Spring>;
  readonly carriers?: Conveyor['carriers'] | null;
  readonly path?: readonly PathSegment[];
  readonly reversing?: boolean;
  /** Take-ups on the same chain beside it. */
  readonly others?: readonly Takeup[];
}

/** One conveyor with one take-up: 3200 pitches of 76.2 mm, 180°, a stroke of 230 mm, two springs of 18 N/mm. */
export function plant(change: PlantChange = {}): Plant {
  const reading = readSite(goodSite('full'), 'full.yaml');
  const base = reading.ok ? reading.site.conveyors[0] : undefined;
  const own = base?.takeups[0];
  if (base === undefined || own === undefined) throw new Error('the full fixture site has a conveyor with a take-up');
  const takeup: Takeup = { ...own, ...change.takeup, spring: { ...own.spring, ...change.takeup?.spring, ...change.spring } };
  const chain = without(base.chain, 'stiffnessKn', 'connectorEveryPitches');
  const rest = without(base, 'carriers');
  const carriers = change.carriers === undefined ? base.carriers : (change.carriers ?? undefined);
  return {
    conveyor: {
      ...rest,
      ...(carriers && { carriers }),
      chain: { ...chain, ...change.chain },
      drive: { reversing: change.reversing ?? false },
      path: change.path ?? base.path,
      takeups: [takeup, ...(change.others ?? [])],
    },
    takeup,
  };
}

function without<T extends object, K extends keyof T>(whole: T, ...keys: readonly K[]): Omit<T, K> {
  return Object.fromEntries(Object.entries(whole).filter(([key]) => !keys.includes(key as K))) as Omit<T, K>;
}

/** A take-up's wrap with the gain that follows from it. */
export function wrap(deg: number): Pick<Takeup, 'wrapDeg' | 'gain'> {
  return { wrapDeg: deg, gain: reevingGain(deg) };
}

/** A take-up as it stands; figures that will not do fail the test that asks for them. */
export function standing({ conveyor, takeup }: Plant, given: GivenFigures): TakeupState {
  const reading = takeupState(conveyor, takeup, given);
  if (!reading.ok) throw new Error(reading.faults.map((fault) => stateFaultSentence(fault, 'metric')).join('; '));
  return reading.state;
}
