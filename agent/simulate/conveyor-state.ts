import type { Conveyor, Side, SideName, Spring, Takeup } from '../site/site.js';
import type { ConveyorScenario } from './scenario.js';

/** Everything of a conveyor that has a past, at one instant. Plain data: it goes through JSON and back unchanged. */
export interface ConveyorState {
  readonly timeMs: number;
  readonly running: boolean;
  readonly pitches: number;
  readonly removedPitches: number;
  /** Mean elongation of the chain in the circuit, as a ratio. */
  readonly elongation: number;
  /** C: the constant of the track. */
  readonly trackMm: number;
  /** Running hours: of this chain, since it was lubricated, and in all. */
  readonly chainHours: number;
  readonly dryHours: number;
  readonly runHours: number;
  /** The way that the chain has travelled. */
  readonly travelMm: number;
  /** Lengths of chain: what standing, load and a catching chain have put on or taken off. */
  readonly relaxMm: number;
  readonly loadMm: number;
  readonly caughtMm: number;
  /** In the order of the site's zones. */
  readonly zones: readonly ZoneState[];
  readonly carriages: readonly CarriageState[];
  /** Raw values that flat sensors repeat, by signal. */
  readonly frozen: Readonly<Record<string, number>>;
}

export interface ZoneState {
  readonly airC: number;
  readonly chainC: number;
  /** What an overheating zone has put on the chain so far. */
  readonly extraChainC: number;
}

export interface CarriageState {
  /** Where seized guides hold it; null where it is free. */
  readonly heldMm: number | null;
  /** Skew that a dragging guide has made, left less right. */
  readonly dragMm: number;
  readonly left: SideState;
  readonly right: SideState;
}

export interface SideState {
  /** The nut: with this side of the carriage at `setMm` the spring is `setSpringMm` long. True positions, whatever the sensor says. */
  readonly setMm: number;
  readonly setSpringMm: number;
  readonly spring: Spring;
  /** Free length given up, and the share of the rate that is left. */
  readonly sagMm: number;
  readonly shareLeft: number;
  /** What the position sensor reads beyond the truth. */
  readonly shiftMm: number;
}

export const SIDE_NAMES = ['left', 'right'] as const satisfies readonly SideName[];

/** The conveyor at the reference of its site, with the elongation that the scenario begins with. */
export function initialState(conveyor: Conveyor, scenario: ConveyorScenario, startMs: number, zones: readonly ZoneState[]): ConveyorState {
  const { chain, takeups } = conveyor;
  const taken = takeups.reduce((sum, takeup) => sum + takeup.gain * takeup.reference.positionMm, 0);
  return {
    timeMs: startMs,
    running: false,
    pitches: chain.pitches,
    removedPitches: 0,
    elongation: scenario.wear.elongationPct / 100,
    trackMm: chain.pitches * chain.pitchMm * (1 + chain.wearAtReferencePct / 100) - taken,
    chainHours: scenario.wear.hoursAtStart,
    dryHours: 0,
    runHours: 0,
    travelMm: 0,
    relaxMm: 0,
    loadMm: 0,
    caughtMm: 0,
    zones,
    carriages: takeups.map((takeup) => ({
      heldMm: null,
      dragMm: 0,
      left: initialSide(takeup, takeup.sides.left),
      right: initialSide(takeup, takeup.sides.right),
    })),
    frozen: {},
  };
}

function initialSide({ spring }: Takeup, { set }: Side): SideState {
  return { setMm: set.positionMm, setSpringMm: set.springMm, spring, sagMm: 0, shareLeft: 1, shiftMm: 0 };
}

/** Length of a side's spring with that side of the carriage at x: L = L_set + (x − x_set) (mechanics §3). */
export function springMm({ setMm, setSpringMm }: SideState, xMm: number): number {
  return setSpringMm + xMm - setMm;
}

/** The state with one side of one carriage changed. */
export function withSide(state: ConveyorState, takeup: number, side: SideName, change: Partial<SideState>): ConveyorState {
  return withCarriage(state, takeup, (carriage) => ({ ...carriage, [side]: { ...carriage[side], ...change } }));
}

/** The state with one carriage changed. */
export function withCarriage(state: ConveyorState, takeup: number, change: (carriage: CarriageState) => CarriageState): ConveyorState {
  return { ...state, carriages: state.carriages.map((carriage, index) => (index === takeup ? change(carriage) : carriage)) };
}
