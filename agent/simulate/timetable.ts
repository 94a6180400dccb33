import { standstillOf, type PlantWork } from './work.js';
import type { ForcedStretch } from './forced-stretch.js';
import type { ConveyorScenario } from './scenario.js';
import { turningPoints, type ChainTrouble, type PlantTrouble, type SignalTrouble } from './trouble.js';
import type { Lasting } from './lasting.js';

const SIGNAL_KINDS: ReadonlySet<PlantTrouble['kind']> = new Set<SignalTrouble['kind']>([
  'sensor-flat',
  'sensor-drift',
  'sensor-spikes',
  'sensor-noisy',
  'not-a-number',
  'fault-band',
  'signal-lost',
  'clock-off',
  'gap',
]);

/** What is to happen to one conveyor, by time: work and troubles, in the order in which they come. */
export class Timetable {
  readonly signalTroubles: readonly SignalTrouble[];
  private readonly works: readonly PlantWork[];
  private readonly chainTroubles: readonly ChainTrouble[];
  /** Ascending, each once. */
  private readonly instants: readonly number[];
  private lasting: { readonly fromMs: number; readonly untilMs: number; readonly troubles: Lasting } | undefined;

  constructor({ works, troubles }: ConveyorScenario) {
    this.works = [...works].sort((a, b) => a.entry.timeMs - b.entry.timeMs);
    this.signalTroubles = troubles.filter((trouble): trouble is SignalTrouble => SIGNAL_KINDS.has(trouble.kind));
    this.chainTroubles = troubles.filter((trouble): trouble is ChainTrouble => !SIGNAL_KINDS.has(trouble.kind));
    const instants = [...works.map(({ entry }) => entry.timeMs), ...troubles.flatMap(turningPoints)];
    this.instants = [...new Set(instants)].sort((a, b) => a - b);
  }

  /** The next instant at which something happens; Infinity where nothing does any more. */
  nextAfter(timeMs: number): number {
    let [low, high] = [0, this.instants.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((this.instants[middle] as number) > timeMs) high = middle;
      else low = middle + 1;
    }
    return this.instants[low] ?? Infinity;
  }

  /** The troubles of the plant that last at a time, and until the next instant. */
  lastingAt(timeMs: number): Lasting {
    if (this.lasting === undefined || timeMs < this.lasting.fromMs || timeMs >= this.lasting.untilMs) {
      const troubles = this.chainTroubles.filter(({ fromMs, toMs }) => fromMs <= timeMs && timeMs < toMs);
      this.lasting = { fromMs: timeMs, untilMs: this.nextAfter(timeMs), troubles };
    }
    return this.lasting.troubles;
  }

  /** All that happens at an instant; nothing does between the instants. */
  worksAt(timeMs: number): readonly PlantWork[] {
    return this.works.filter(({ entry }) => entry.timeMs === timeMs);
  }

  beginningAt(timeMs: number): readonly PlantTrouble[] {
    return this.all.filter(({ fromMs }) => fromMs === timeMs);
  }

  endingAt(timeMs: number): readonly PlantTrouble[] {
    return this.all.filter(({ toMs }) => toMs === timeMs);
  }

  /** Troubles of any kind that have begun by a time and go on. */
  lastingOver(timeMs: number): readonly PlantTrouble[] {
    return this.all.filter(({ fromMs, toMs }) => fromMs <= timeMs && timeMs < toMs);
  }

  private get all(): readonly PlantTrouble[] {
    return [...this.chainTroubles, ...this.signalTroubles];
  }
}

/** Stretches in which the conveyor stands whatever its shifts say: for work, and after the drive has tripped. */
export function standstills({ works, troubles }: ConveyorScenario): ForcedStretch[] {
  return [
    ...works.flatMap((work) => standstillOf(work) ?? []),
    ...troubles.flatMap((trouble) =>
      trouble.kind === 'chain-parted'
        ? [{ fromMs: trouble.fromMs + Math.round(1000 * trouble.tripsAfterS), toMs: trouble.toMs, running: false }]
        : [],
    ),
  ];
}
