import type { ServiceEntry, WorkEntry } from '../contract/service-entry.js';
import type { Conveyor, SideName } from '../site/site.js';
import type { Stand } from './chain-physics.js';
import { withSide, type ConveyorState, type SideState } from './conveyor-state.js';
import type { PlantWork } from './work.js';

/** The plant as the one who works on it finds it. */
export interface WorkPlace {
  readonly conveyor: Conveyor;
  /** Where the carriages of a state stand, breathing left out. */
  readonly standOf: (state: ConveyorState) => Stand;
  /** Where a side of a carriage really is, and what its sensor reads beyond that by drift alone. */
  readonly sideMm: (takeup: number, side: SideName) => number;
  readonly driftMm: (takeup: number, side: SideName) => number;
}

/** A spring set by its length moves the carriage a little, which changes its length: a few rounds settle it. */
const ROUNDS = 24;

/** The state of the conveyor after a piece of work. What is only looked at, greased or written down moves nothing. */
export function stateAfterWork(state: ConveyorState, entry: WorkEntry, place: WorkPlace): ConveyorState {
  switch (entry.kind) {
    case 'chain-removed':
      return { ...state, pitches: state.pitches - entry.pitches, removedPitches: state.removedPitches + entry.pitches };
    case 'chain-inserted': {
      const pitches = state.pitches + entry.pitches;
      return { ...state, pitches, elongation: (state.elongation * state.pitches) / pitches };
    }
    case 'chain-replaced':
      return { ...state, pitches: entry.pitches, removedPitches: 0, elongation: 0, chainHours: 0, dryHours: 0 };
    case 'lubricated':
      return { ...state, dryHours: 0 };
    case 'nut-turned': {
      const takeup = takeupOf(place.conveyor, entry.takeup);
      if (entry.springMm !== undefined) return withLength(state, takeup, entry.side, {}, entry.springMm, place);
      const tightenedMm = (entry.turns ?? 0) * (place.conveyor.takeups[takeup]?.nutLeadMm ?? 0);
      const { setSpringMm } = sideOf(state, takeup, entry.side);
      return withSide(state, takeup, entry.side, { setSpringMm: setSpringMm - tightenedMm });
    }
    case 'spring-replaced': {
      const takeup = takeupOf(place.conveyor, entry.takeup);
      const fresh = { spring: entry.spring, sagMm: 0, shareLeft: 1 };
      return withLength(state, takeup, entry.side, fresh, entry.springMm, place);
    }
    case 'sensor-rezeroed': {
      const takeup = takeupOf(place.conveyor, entry.takeup);
      const shiftMm = entry.positionMm - place.sideMm(takeup, entry.side) - place.driftMm(takeup, entry.side);
      return withSide(state, takeup, entry.side, { shiftMm });
    }
    case 'inspected':
    case 'service-opened':
    case 'service-closed':
    case 'note':
      return state;
  }
}

/** The nut set so that the spring is so long once the carriage has come to rest. */
function withLength(
  state: ConveyorState,
  takeup: number,
  side: SideName,
  change: Partial<SideState>,
  setSpringMm: number,
  place: WorkPlace,
): ConveyorState {
  const foundMm = place.sideMm(takeup, side);
  const before = place.standOf(state).carriages[takeup]?.xMm ?? NaN;
  let after = withSide(state, takeup, side, { ...change, setMm: foundMm, setSpringMm });
  for (let round = 0; round < ROUNDS; round++) {
    const movedMm = (place.standOf(after).carriages[takeup]?.xMm ?? NaN) - before;
    after = withSide(after, takeup, side, { setMm: foundMm + movedMm });
  }
  return after;
}

function takeupOf(conveyor: Conveyor, id: string): number {
  const index = conveyor.takeups.findIndex((takeup) => takeup.id === id);
  if (index < 0) throw new Error(`the scenario has work on take-up ${id}, which ${conveyor.id} does not have`);
  return index;
}

function sideOf(state: ConveyorState, takeup: number, side: SideName): SideState {
  const carriage = state.carriages[takeup];
  if (carriage === undefined) throw new Error(`the plant has no carriage ${String(takeup)}`);
  return carriage[side];
}

/** What of a piece of work gets into the service log, and when. */
export function entriesOf({ entry, record }: PlantWork): readonly ServiceEntry[] {
  switch (record.how) {
    case 'rightly':
      return [entry];
    case 'never':
      return [];
    case 'late':
      return [{ ...entry, timeMs: entry.timeMs + record.byMs }];
    case 'wrongly': {
      const id = entry.id ?? `${entry.conveyor}-${entry.kind}-${String(entry.timeMs)}`;
      if (!('pitches' in entry)) return [entry];
      const wrong: ServiceEntry = { ...entry, id, pitches: record.pitches };
      if (record.correctedAfterMs === null) return [wrong];
      const timeMs = entry.timeMs + record.correctedAfterMs;
      return [wrong, { kind: 'correction', timeMs, conveyor: entry.conveyor, replaces: id, changes: { pitches: entry.pitches } }];
    }
  }
}
