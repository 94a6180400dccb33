import type { AlarmBook } from '../alarm/alarm-book.js';
import type { Condition } from '../alarm/condition.js';
import type { Measure } from '../alarm/definition.js';
import type { Watch } from '../alarm/watch.js';

/** The measures that every reading is judged by, in the order in which they are judged. */
export const SLOT_MEASURES = [
  'remaining-side',
  'spring-side',
  'compression-side',
  'remaining',
  'tension',
  'skew',
] as const satisfies readonly Measure[];
export const Slot = { remainingSide: 0, springSide: 1, compressionSide: 2, remaining: 3, tension: 4, skew: 5 } as const;

/** What of a watch every reading of one side is held against, side by side. */
export interface Guard {
  readonly watch: Watch;
  readonly slot: number;
  readonly at: number;
  readonly sign: 1 | -1;
  readonly raiseAt: Float64Array;
  readonly condition: Condition;
}

/** What the readings of one side of a take-up are held against. */
export class SideGuards {
  readonly all: readonly Guard[];
  /** Where the spring has a sensor of its own, its readings and the carriage's are judged apart. */
  readonly springs: readonly Guard[];
  readonly notSprings: readonly Guard[];
  /** By slot, in the sense of the guards: a value above it concerns none of them. */
  private readonly floors = new Float64Array(SLOT_MEASURES.length);
  private limitsVersion = -1;

  constructor(
    private readonly alarms: AlarmBook,
    takeupIndex: number,
    side: 0 | 1,
  ) {
    this.all = SLOT_MEASURES.flatMap((measure, slot) =>
      alarms
        .watchesOf(takeupIndex, measure)
        .filter((watch) => !watch.off)
        .map((watch): Guard => {
          const at = watch.twoSided ? side : 0;
          return { watch, slot, at, sign: watch.sign, raiseAt: watch.raiseAt, condition: watch.conditions[at] as Condition };
        }),
    );
    this.springs = this.all.filter(({ slot }) => slot === Slot.springSide);
    this.notSprings = this.all.filter(({ slot }) => slot !== Slot.springSide);
  }

  /** Nothing is up and nothing pending. */
  get idle(): boolean {
    return this.all.every(({ condition }) => condition.idle);
  }

  /**
   * Whether every value is known and beyond no set-point: nearly every reading is seen to be so by a few comparisons. The skew alone is
   * watched upwards; where tension is watched this is not asked.
   * @param values - by slot
   */
  clearOf(values: Float64Array): boolean {
    if (this.limitsVersion !== this.alarms.limitsVersion) this.drawFloors();
    const { floors } = this;
    return (
      (values[Slot.remainingSide] as number) > (floors[Slot.remainingSide] as number) &&
      (values[Slot.springSide] as number) > (floors[Slot.springSide] as number) &&
      (values[Slot.compressionSide] as number) > (floors[Slot.compressionSide] as number) &&
      (values[Slot.remaining] as number) > (floors[Slot.remaining] as number) &&
      -(values[Slot.skew] as number) > (floors[Slot.skew] as number)
    );
  }

  private drawFloors(): void {
    this.limitsVersion = this.alarms.limitsVersion;
    this.floors.fill(-Infinity);
    for (const { slot, at, raiseAt } of this.all) this.floors[slot] = Math.max(this.floors[slot] as number, raiseAt[at] as number);
  }
}
