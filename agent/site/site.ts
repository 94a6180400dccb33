/**
 * The site as the program uses it: every default filled in, units resolved to mm, N, °C, seconds, and frozen.
 * The file a person writes is described by `schema.ts`; `read-site.ts` turns one into the other.
 */
import type { AlarmPriority } from './limit-fields.js';

/** What a signal measures. `position` and `spring` are in mm, `speed` in m/min, `temperature` in °C, `running` is 1 or 0. */
export type SignalQuantity = 'position' | 'spring' | 'running' | 'speed' | 'temperature';

/** The unit of a signal's raw value. `scale.to` and `valid` are always in mm, °C or m/min. */
export type SignalUnit = 'mm' | 'in' | 'cm' | 'm' | 'mA' | 'V' | 'percent' | 'counts' | 'C' | 'F' | 'm/min' | 'ft/min' | 'state';

/** Two-point calibration: raw `from[0]` reads as `to[0]`, raw `from[1]` as `to[1]`. */
export interface TwoPointScale {
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
}

/** One measured signal. */
export interface Signal {
  /** `<conveyor>/<takeup>/<side>/position` and the like: its name in recordings and the tail of its default topic. */
  readonly name: string;
  readonly quantity: SignalQuantity;
  readonly topic: string;
  /** RFC 6901 pointer to the value in a JSON payload; absent: bare number or `{"value","time"}`. */
  readonly pointer?: string;
  /** RFC 6901 pointer to the reading's own time; absent: `/time` where the payload is `{"value","time"}`, else arrival. */
  readonly timePointer?: string;
  readonly unit: SignalUnit;
  readonly scale?: TwoPointScale;
  /** Engineering range outside which a reading is a fault. */
  readonly valid?: readonly [number, number];
  readonly periodS: number;
  /** Engineering resolution where the site gives one; absent: learned from the readings. */
  readonly resolutionMm?: number;
  /** 10 periods, at least 30 s: after so long without a reading the signal is lost. */
  readonly lostAfterMs: number;
}

/** Maker's data of one spring, given or worked out from its wire (EN 13906-1). */
export interface Spring {
  readonly freeMm: number;
  readonly rateNPerMm: number;
  readonly solidMm: number;
  /** Sum of the least coil clearances S_a: solid + clearance is the shortest usable length. */
  readonly clearanceMm: number;
  /** Equal springs in parallel on each side. */
  readonly perSide: number;
  /** The wire it was worked out from, where the site gave that instead of the maker's data. */
  readonly wire?: SpringWire;
}

export interface SpringWire {
  readonly wireMm: number;
  readonly meanDiameterMm: number;
  readonly activeCoils: number;
  readonly totalCoils: number;
  readonly shearModulusMpa: number;
  readonly ends: 'ground' | 'unground';
  readonly coiled: 'cold' | 'hot';
  readonly load: 'static' | 'dynamic';
}

export type SideName = 'left' | 'right';

/** Where the carriage side stood and how long its spring was when the nut was last set. */
export interface SpringSet {
  readonly atMs: number;
  readonly positionMm: number;
  readonly springMm: number;
}

export interface Side {
  readonly position: Signal;
  /** The spring's own length sensor, where there is one. */
  readonly spring?: Signal;
  readonly set: SpringSet;
}

/** Overrides of the alarm set-points, by alarm key and the field names of the alarm list. */
export type Limits = Readonly<Record<string, Readonly<Record<string, number>>>>;

/** What a site says of an alarm of one take-up in other words than the alarm list. */
export interface OwnTerms {
  readonly priority?: AlarmPriority;
  readonly consequence?: string;
  readonly action?: string;
  readonly respondWithinMin?: number;
  readonly latch?: boolean;
}

export interface Takeup {
  readonly id: string;
  readonly location: string;
  readonly wrapDeg: number;
  /** Reeving gain g = 2·sin(θ/2): mm of chain taken up per mm of carriage travel. */
  readonly gain: number;
  /** c: the strand leaves the turn at (1 + c) times the tension it enters with. */
  readonly turnFriction: number;
  readonly strokeMm: number;
  readonly spring: Spring;
  readonly nutLeadMm?: number;
  readonly reference: { readonly atMs: number; readonly positionMm: number };
  readonly sides: { readonly left: Side; readonly right: Side };
  readonly limits: Limits;
  /** Priority, words and latching that differ from the alarm list, by alarm key. */
  readonly alarmTerms: Readonly<Record<string, OwnTerms>>;
}

export interface Chain {
  readonly pitchMm: number;
  /** Pitches in the circuit at the reference. */
  readonly pitches: number;
  readonly repeatPitches: number;
  readonly connectorEveryPitches?: number;
  readonly wearLimitPct: number;
  readonly wearAtReferencePct: number;
  readonly expansionPerC: number;
  readonly trackExpansionPerC: number;
  readonly stiffnessKn?: number;
  readonly minTensionN?: number;
  readonly maxTensionN?: number;
}

export interface Zone {
  readonly id: string;
  readonly lengthMm: number;
  readonly referenceC: number;
  readonly temperature: Signal;
  /** The chain follows the zone's temperature with this first-order lag. */
  readonly lagS: number;
}

/** The path outside the zones; its length is what the zones leave of the circuit. */
export interface Ambient {
  readonly referenceC: number;
  readonly temperature: Signal;
}

/** One stretch of the path, from the take-up in the direction of travel. */
export type PathSegment =
  | { readonly kind: 'straight'; readonly lengthMm: number; readonly riseMm: number; readonly loadNPerM: number; readonly friction: number }
  | { readonly kind: 'curve'; readonly angleDeg: number; readonly radiusMm: number; readonly loadNPerM: number; readonly friction: number }
  | { readonly kind: 'drive' };

export interface Conveyor {
  readonly id: string;
  readonly name: string;
  readonly chain: Chain;
  readonly carriers?: { readonly spacingMm: number; readonly minSpacingMm: number };
  readonly drive: { readonly reversing: boolean };
  /** Absent: the conveyor counts as always running. */
  readonly running?: Signal;
  readonly speed?: Signal;
  readonly zones: readonly Zone[];
  readonly ambient?: Ambient;
  readonly path: readonly PathSegment[];
  readonly takeups: readonly Takeup[];
}

export const WEEKDAYS = ['monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday'] as const;

/** Somebody who can be paged. */
export interface Person {
  readonly id: string;
  readonly name: string;
  readonly email?: string;
  /** What the gateway behind the webhook knows the person by. */
  readonly webhook?: string;
}

/** A stretch of the rota that another takes; times are epoch ms. */
export interface RotaOverride {
  readonly fromMs: number;
  readonly toMs: number;
  readonly person: string;
}

/** Who is on call: a week each in turn. */
export interface Rota {
  /** Ids of people, in order. */
  readonly people: readonly string[];
  /** 0 Monday … 6 Sunday. */
  readonly handOverDay: number;
  /** `HH:MM` on the site's clock. */
  readonly handOverAt: string;
  /** Date of the first hand-over, `YYYY-MM-DD`. */
  readonly firstDate: string;
  /** The later one wins. */
  readonly overrides: readonly RotaOverride[];
}

export interface LadderStep {
  readonly afterMs: number;
  /** `on-call`, `next-on-call`, `everyone`, or the id of a person. */
  readonly to: string;
}

/** Who is paged for alarms of one priority, and when. */
export interface Ladder {
  /** At least one, in order of time. */
  readonly steps: readonly LadderStep[];
  /** The last step is repeated so often; absent: not at all. */
  readonly repeatMs?: number;
  readonly stopAfterMs: number;
}

export interface MailServer {
  readonly host: string;
  readonly port: number;
  readonly security: 'starttls' | 'tls' | 'none';
  readonly user?: string;
  /** From the data folder. */
  readonly passwordFile?: string;
  readonly caFile?: string;
  readonly from: string;
}

export interface Webhook {
  readonly url: string;
  /** From the data folder. */
  readonly secretFile?: string;
}

/** How people are paged. Secrets are in files of their own or in the environment. */
export interface Paging {
  /** Without a slash at its end; absent: pages carry no link. */
  readonly linkBase?: string;
  readonly linkMs: number;
  readonly groupMs: number;
  readonly ladders: Readonly<Partial<Record<'urgent' | 'high' | 'medium' | 'low', Ladder>>>;
  readonly smtp?: MailServer;
  readonly webhook?: Webhook;
}

/** How readings are filtered, where the site file says otherwise than is usual. */
export interface SiteFilter {
  readonly spikeK?: number;
  readonly smoothingS?: number;
  readonly windowMin?: number;
  readonly fewestReadings?: number;
  readonly jumpMm?: number;
}

export interface Site {
  readonly id: string;
  readonly name: string;
  readonly timezone: string;
  /** For people only: the program computes in mm, N and °C. */
  readonly units: 'metric' | 'imperial';
  readonly conveyors: readonly Conveyor[];
  readonly filter: SiteFilter;
  readonly people: readonly Person[];
  /** Absent: nobody is on call. */
  readonly rota?: Rota;
  /** Absent: nobody is paged. */
  readonly paging?: Paging;
}

/** Every signal of a site, in the order of the file: running, speed, zones, ambient, then each take-up's sides. */
export function signalsOf(site: Site): readonly Signal[] {
  return site.conveyors.flatMap((conveyor) => conveyorSignals(conveyor));
}

/** Every signal of one conveyor, in the same order. */
export function conveyorSignals(conveyor: Conveyor): readonly Signal[] {
  const signals: Signal[] = [];
  if (conveyor.running) signals.push(conveyor.running);
  if (conveyor.speed) signals.push(conveyor.speed);
  for (const zone of conveyor.zones) signals.push(zone.temperature);
  if (conveyor.ambient) signals.push(conveyor.ambient.temperature);
  for (const takeup of conveyor.takeups) {
    for (const side of [takeup.sides.left, takeup.sides.right]) {
      signals.push(side.position);
      if (side.spring) signals.push(side.spring);
    }
  }
  return signals;
}
