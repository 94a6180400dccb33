import type { SideName } from '../site/site.js';

/** A stretch of time, and what is touched. */
interface Stretch {
  readonly fromMs: number;
  /** From here on all is well again. */
  readonly toMs: number;
}

interface OnTakeup extends Stretch {
  readonly takeup: string;
}

interface OnSide extends OnTakeup {
  readonly side: SideName;
}

/** Of one signal, by its name in recordings. */
interface OnSignal extends Stretch {
  readonly signal: string;
}

/** The chain catches while running, and is pulled in more and more. */
export interface ChainCaught extends Stretch {
  readonly kind: 'chain-caught';
  /** mm of chain pulled in, in a minute of running. */
  readonly chainMmPerMin: number;
  readonly mostChainMm: number;
}

/** The chain parts: the springs throw the carriages to the outer stop, and the drive trips. */
export interface ChainParted extends Stretch {
  readonly kind: 'chain-parted';
  readonly withinS: number;
  readonly tripsAfterS: number;
}

/** Chain comes free while running, as when it jumps a tooth or a link gives way: longer by so much. */
export interface ChainSlack extends Stretch {
  readonly kind: 'chain-slack';
  readonly chainMm: number;
  readonly withinS: number;
}

/** A carriage is held by its guides, and gives way by jerks or not at all. */
export interface GuideSeized extends OnTakeup {
  readonly kind: 'guide-seized';
  /** It slips when it stands so far from where it should be. */
  readonly slipsAtMm: number;
  /** Share of the breathing that is left. */
  readonly breathingShare: number;
}

/** One side of a carriage lags more from day to day of running. */
export interface GuideDragging extends OnSide {
  readonly kind: 'guide-dragging';
  /** What the skew grows by in 24 running hours: this side inwards, the other out. */
  readonly mmPerDay: number;
  readonly mostMm: number;
}

/** A spring gives up free length. */
export interface SpringRelaxing extends OnSide {
  readonly kind: 'spring-relaxing';
  readonly mmPerDay: number;
}

/** A spring breaks and pushes with a share of its rate; a new spring mends it. */
export interface SpringBroken extends OnSide {
  readonly kind: 'spring-broken';
  readonly shareLeft: number;
}

/** The chain wears faster. */
export interface WearFast extends Stretch {
  readonly kind: 'wear-fast';
  readonly times: number;
}

/** A zone overheats: so much a minute, up to so much on top; then it cools at the same rate. */
export interface ZoneOverheats extends Stretch {
  readonly kind: 'zone-overheats';
  readonly zone: string;
  readonly cPerMin: number;
  readonly mostC: number;
}

/** A sensor repeats its last value. */
export interface SensorFlat extends OnSignal {
  readonly kind: 'sensor-flat';
}

export interface SensorDrift extends OnSignal {
  readonly kind: 'sensor-drift';
  /** In the signal's engineering unit: mm, °C, m/min. */
  readonly perDay: number;
}

export interface SensorSpikes extends OnSignal {
  readonly kind: 'sensor-spikes';
  readonly share: number;
  readonly height: number;
}

/** Noise grows to so many times its own. */
export interface SensorNoisy extends OnSignal {
  readonly kind: 'sensor-noisy';
  readonly times: number;
}

/** A share of the readings are no numbers. */
export interface NotANumber extends OnSignal {
  readonly kind: 'not-a-number';
  readonly share: number;
}

/** The sensor gives a fixed raw value, as a current loop does in its fault band. */
export interface FaultBand extends OnSignal {
  readonly kind: 'fault-band';
  readonly raw: number;
}

/** Nothing comes of the signal. */
export interface SignalLost extends OnSignal {
  readonly kind: 'signal-lost';
}

/** The clock of the sensor is off: its readings carry a time so much too late (below 0: too early). */
export interface ClockOff extends OnSignal {
  readonly kind: 'clock-off';
  readonly byS: number;
}

/** Nothing comes of the whole conveyor. */
export interface Gap extends Stretch {
  readonly kind: 'gap';
}

/** What goes wrong on the plant itself. */
export type ChainTrouble =
  ChainCaught | ChainParted | ChainSlack | GuideSeized | GuideDragging | SpringRelaxing | SpringBroken | WearFast | ZoneOverheats;

/** What goes wrong between the plant and its readings. */
export type SignalTrouble = SensorFlat | SensorDrift | SensorSpikes | SensorNoisy | NotANumber | FaultBand | SignalLost | ClockOff | Gap;

export type PlantTrouble = ChainTrouble | SignalTrouble;

/** Every instant at which a trouble changes what it does: nothing bends in between. */
export function turningPoints(trouble: PlantTrouble): readonly number[] {
  const { fromMs, toMs } = trouble;
  switch (trouble.kind) {
    case 'chain-parted':
    case 'chain-slack':
      return [fromMs, fromMs + Math.round(1000 * trouble.withinS), toMs];
    case 'zone-overheats': {
      const rampMs = overheatRampMs(trouble);
      return [fromMs, fromMs + rampMs, toMs, toMs + rampMs];
    }
    default:
      return [fromMs, toMs];
  }
}

/** For how long an overheating zone gets warmer; it cools for as long. */
function overheatRampMs({ mostC, cPerMin, fromMs, toMs }: ZoneOverheats): number {
  return Math.min(Math.round((60_000 * mostC) / cPerMin), toMs - fromMs);
}

/** By how much an overheating zone is too warm at a time, °C. */
export function overheatC(trouble: ZoneOverheats, timeMs: number): number {
  const rampMs = overheatRampMs(trouble);
  const warmedMs = Math.min(timeMs - trouble.fromMs, rampMs);
  const cooledMs = Math.max(0, timeMs - trouble.toMs);
  return (trouble.cPerMin / 60_000) * Math.max(0, warmedMs - cooledMs);
}
