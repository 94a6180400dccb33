import type { Conveyor, SideName } from '../../site/site.js';
import { CreepWatch, type CreepWatchSaved } from '../finding/creep-watch.js';
import { NutWatch, type NutStep, type NutWatchSaved } from '../finding/nut-watch.js';
import { StepWatch, type StepSample, type StepWatchSaved } from '../finding/step-watch.js';
import type { Step, WindowRecord } from '../ledger/window-record.js';

export interface WindowWatchesSaved {
  readonly step: StepWatchSaved;
  readonly creep: CreepWatchSaved;
  readonly nuts: readonly [NutWatchSaved, NutWatchSaved];
}

const SIDES = ['left', 'right'] as const satisfies readonly SideName[];
/** As `change-unrecorded` has it by default. */
const LEAST_STEP_MM = 4;

/** What looks at one take-up's settled windows one after the other: lasting steps, slow moves inwards, nuts turned. */
export class WindowWatches {
  private readonly step: StepWatch;
  private readonly creep: CreepWatch;
  private readonly nuts: readonly [NutWatch, NutWatch];
  private readonly ownSpring: readonly [boolean, boolean];

  constructor(conveyor: Conveyor, index: number, saved?: WindowWatchesSaved) {
    const takeup = conveyor.takeups[index];
    const leastMm = takeup?.limits['change-unrecorded']?.['move_mm'] ?? LEAST_STEP_MM;
    this.step = new StepWatch(leastMm, saved?.step);
    this.creep = new CreepWatch(leastMm, saved?.creep);
    this.nuts = [new NutWatch(saved?.nuts[0]), new NutWatch(saved?.nuts[1])];
    this.ownSpring = [takeup?.sides.left.spring !== undefined, takeup?.sides.right.spring !== undefined];
  }

  /** @param sure - whether a move needs no hour of proof, see `StepWatch.push` */
  push(sample: StepSample, sure: (moveMm: number) => boolean): Omit<Step, 'id' | 'takeup'> | undefined {
    const step = this.step.push(sample, sure);
    if (step !== undefined) this.creep.restart();
    // What may be a step is one until it is proved none.
    if (step !== undefined || this.step.pending !== undefined) return step;
    const crept = this.creep.push(sample);
    if (crept !== undefined) this.step.restart();
    return crept;
  }

  /** The nuts that were turned, by springs with sensors of their own. */
  turned(record: WindowRecord, stoodMs: number): { readonly side: SideName; readonly step: NutStep }[] {
    const lengths = [record.springLeft, record.springRight];
    const positions = [record.left, record.right];
    return SIDES.flatMap((side, at) => {
      if (this.ownSpring[at] !== true) return [];
      const step = this.nuts[at]?.push(record.fromMs, record.toMs, lengths[at] ?? NaN, positions[at] ?? NaN, stoodMs);
      return step === undefined ? [] : [{ side, step }];
    });
  }

  save(): WindowWatchesSaved {
    return { step: this.step.save(), creep: this.creep.save(), nuts: [this.nuts[0].save(), this.nuts[1].save()] };
  }
}
