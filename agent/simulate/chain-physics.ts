import type { Conveyor, Takeup } from '../site/site.js';
import { Climate } from './climate.js';
import type { CarriageState, ConveyorState, SideState, ZoneState } from './conveyor-state.js';
import { cameFreeMm, carriageAfter, caughtAfter, partedShare, timesWorn, type Lasting } from './lasting.js';
import { Load } from './load.js';
import { balance, carriageForceN, tensionOfForceN, travelOf, type Carriage, type SideSprings } from './loop-balance.js';
import type { ConveyorScenario } from './scenario.js';
import type { ShiftPlan } from './shift-plan.js';
import { ZoneWarmth } from './zone-warmth.js';

/** Where a conveyor's carriages stand at an instant, breathing left out. */
export interface Stand {
  readonly carriages: readonly CarriageStand[];
  /** mm of chain beyond what there is at the reference. */
  readonly thermalMm: number;
  readonly elasticMm: number;
  readonly ambientC: number;
}

export interface CarriageStand {
  readonly xMm: number;
  /** Left less right. */
  readonly skewMm: number;
  /** Ends of its travel, of the mean of both sides. */
  readonly innerMm: number;
  readonly outerMm: number;
  /** Both springs together, and the strand tension that they hold. */
  readonly forceN: number;
  readonly tensionN: number;
}

const DAY_MS = 86_400_000;
/** The chain finds its length under a new load within about so long. */
const LOAD_S = 600;
/** A chain that runs again is back at its length so many times as fast as it left it. */
const BACK_TIMES = 10;
/** A seized carriage that gives way makes good this share of what it was behind. */
const SLIP_SHARE = 0.8;

/** The physics of one conveyor: how its state goes on, and where its carriages stand in it. Knows no readings. */
export class ChainPhysics {
  /** Mean strand tension with the springs as the site has them set: elastic stretch is counted from here. */
  readonly referenceTensionN: number;
  readonly warmth: ZoneWarmth;
  private readonly climate: Climate;
  private readonly load: Load;

  constructor(
    readonly conveyor: Conveyor,
    readonly scenario: ConveyorScenario,
    private readonly plan: ShiftPlan,
    seed: number,
  ) {
    this.climate = new Climate(scenario.climate, seed, conveyor.id);
    this.load = new Load(scenario.load, seed, conveyor.id);
    this.warmth = new ZoneWarmth(conveyor, scenario, plan, this.climate, seed);
    this.referenceTensionN =
      conveyor.takeups.reduce((sum, takeup) => sum + referenceTensionOf(takeup), 0) / Math.max(1, conveyor.takeups.length);
  }

  /** The air around the conveyor, °C. */
  airC(timeMs: number): number {
    return this.climate.at(timeMs, this.plan.dayOf(timeMs).startMs);
  }

  /** The state at a later time. Nothing may begin or end in between: neither running nor a trouble nor work. */
  advance(state: ConveyorState, toMs: number, lasting: Lasting): ConveyorState {
    const { breathing, speedMPerMin, load } = this.scenario;
    const { timeMs, running } = state;
    const seconds = (toMs - timeMs) / 1000;
    const days = (toMs - timeMs) / DAY_MS;
    const hours = running ? seconds / 3600 : 0;
    const loadNow = this.load.at(timeMs, this.plan.dayOf(timeMs));
    // Written out: spreading the old state over the new one is most of the cost of a step.
    return {
      timeMs: toMs,
      running,
      pitches: state.pitches,
      removedPitches: state.removedPitches,
      trackMm: state.trackMm,
      frozen: state.frozen,
      elongation: state.elongation + this.wearPerHour(state, loadNow, lasting) * hours,
      chainHours: state.chainHours + hours,
      dryHours: state.dryHours + hours,
      runHours: state.runHours + hours,
      travelMm: state.travelMm + speedMPerMin * 60_000 * hours,
      relaxMm: running
        ? approach(state.relaxMm, 0, seconds, breathing.relaxS / BACK_TIMES)
        : approach(state.relaxMm, breathing.relaxChainMm, seconds, breathing.relaxS),
      loadMm: running ? approach(state.loadMm, load.chainMm * (loadNow - 1), seconds, LOAD_S) : state.loadMm,
      caughtMm: caughtAfter(state.caughtMm, hours, lasting),
      zones: state.zones.length === 0 ? state.zones : this.warmth.after(state.zones, timeMs, toMs),
      carriages:
        lasting.length === 0
          ? state.carriages
          : state.carriages.map((carriage, index) => carriageAfter(carriage, this.takeupId(index), hours, days, lasting)),
    };
  }

  /** Elongation gained in an hour of running, as a ratio. */
  private wearPerHour({ chainHours, dryHours }: ConveyorState, loadNow: number, lasting: Lasting): number {
    const { wear, load } = this.scenario;
    const runIn = 1 + (wear.runInTimes - 1) * Math.exp(-chainHours / wear.runInHours);
    const feels = 1 + load.wearShare * (loadNow - 1);
    const dry = 1 + (wear.dryShare * dryHours) / 1000;
    return (wear.pctPer1000Hours / 100_000) * runIn * feels * dry * timesWorn(lasting);
  }

  /** Where the carriages stand. @param timeMs - of the state: what comes free or parts is taken at this time */
  standAt(state: ConveyorState, timeMs: number, lasting: Lasting): Stand {
    const { chain } = this.conveyor;
    const nominalMm = state.pitches * chain.pitchMm;
    const ambientC = this.airC(timeMs);
    const thermalMm = this.thermalMm(state, nominalMm, ambientC);
    const stretchMmPerN = chain.stiffnessKn === undefined ? 0 : nominalMm / (1000 * chain.stiffnessKn);
    const carriages = this.conveyor.takeups.map((takeup, index) => this.carriageOf(takeup, state.carriages[index] as CarriageState));
    const givenMm = state.loadMm + state.relaxMm - state.caughtMm + cameFreeMm(lasting, timeMs);
    const { positionsMm, tensionN } = balance(carriages, {
      slackMm: nominalMm * (1 + state.elongation) + thermalMm + givenMm - state.trackMm,
      stretchMmPerN,
      referenceTensionN: this.referenceTensionN,
    });
    const parted = partedShare(lasting, timeMs);
    return {
      thermalMm,
      elasticMm: (tensionN - this.referenceTensionN) * stretchMmPerN,
      ambientC,
      carriages: carriages.map((carriage, index) => carriageStand(carriage, positionsMm[index] as number, parted)),
    };
  }

  /** Seized carriages that are too far from where they should be give way by a jerk. */
  afterSlips(state: ConveyorState, lasting: Lasting): ConveyorState {
    if (state.carriages.every(({ heldMm }) => heldMm === null)) return state;
    const freed = { ...state, carriages: state.carriages.map((carriage) => ({ ...carriage, heldMm: null })) };
    const wanted = this.standAt(freed, state.timeMs, lasting);
    const carriages = state.carriages.map((carriage, index) => {
      const seized = lasting.find((trouble) => trouble.kind === 'guide-seized' && trouble.takeup === this.takeupId(index));
      if (carriage.heldMm === null || seized?.kind !== 'guide-seized') return carriage;
      const behindMm = (wanted.carriages[index]?.xMm ?? NaN) - carriage.heldMm;
      return Math.abs(behindMm) < seized.slipsAtMm ? carriage : { ...carriage, heldMm: carriage.heldMm + SLIP_SHARE * behindMm };
    });
    return { ...state, carriages };
  }

  /** (α − α_track)·Σ length·(T − T_ref); the rest of the path counts where the site has its temperature (mechanics §2). */
  private thermalMm(state: ConveyorState, nominalMm: number, ambientC: number): number {
    const { chain, zones, ambient } = this.conveyor;
    let heat = 0;
    let restMm = nominalMm;
    zones.forEach(({ lengthMm, referenceC }, index) => {
      const { chainC, extraChainC } = state.zones[index] as ZoneState;
      heat += lengthMm * (chainC + extraChainC - referenceC);
      restMm -= lengthMm;
    });
    if (ambient !== undefined) heat += restMm * (ambientC - ambient.referenceC);
    return (chain.expansionPerC - chain.trackExpansionPerC) * heat;
  }

  private carriageOf(takeup: Takeup, state: CarriageState): Carriage {
    return {
      gain: takeup.gain,
      turnFriction: takeup.turnFriction,
      strokeMm: takeup.strokeMm,
      skewMm: (this.scenario.takeups[takeup.id]?.skewMm ?? 0) + state.dragMm,
      left: springsOf(state.left),
      right: springsOf(state.right),
      heldMm: state.heldMm ?? undefined,
    };
  }

  private takeupId(index: number): string {
    return this.conveyor.takeups[index]?.id ?? '';
  }
}

function referenceTensionOf({ gain, turnFriction, spring, sides }: Takeup): number {
  const forceOf = ({ springMm }: { readonly springMm: number }): number =>
    spring.perSide * spring.rateNPerMm * Math.max(0, spring.freeMm - springMm);
  return (2 * (forceOf(sides.left.set) + forceOf(sides.right.set))) / (gain * (2 + turnFriction));
}

function carriageStand(carriage: Carriage, heldByChainMm: number, parted: number): CarriageStand {
  const { innerMm, outerMm } = travelOf(carriage);
  const xMm = heldByChainMm + (outerMm - heldByChainMm) * parted;
  const forceN = carriageForceN(carriage, xMm);
  return { xMm, skewMm: carriage.skewMm, innerMm, outerMm, forceN, tensionN: tensionOfForceN(carriage, forceN) };
}

function springsOf({ setMm, setSpringMm, spring, sagMm, shareLeft }: SideState): SideSprings {
  return {
    rateNPerMm: spring.perSide * spring.rateNPerMm * shareLeft,
    freeAtMm: setMm + (spring.freeMm - sagMm - setSpringMm),
    solidAtMm: setMm + (spring.solidMm - setSpringMm),
  };
}

function approach(value: number, target: number, seconds: number, tauS: number): number {
  return target + (value - target) * Math.exp(-seconds / tauS);
}
