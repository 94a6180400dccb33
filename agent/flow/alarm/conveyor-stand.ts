import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';

export interface ConveyorStandSaved {
  readonly is: boolean;
  readonly dueMs: SavedNumber;
  readonly running: SavedNumber;
}

/** A stop shorter than this suppresses nothing: a drive that is tried for seconds would have every alarm go and come back. */
const STANDS_AFTER_MS = 60_000;

/** Whether a conveyor stands, as far as alarms that need it to run are concerned. Where nobody knows, it is as it was. */
export class ConveyorStand {
  stands: boolean;
  /** When a stop will have lasted long enough. */
  dueMs: number;
  /** 1 running, 0 standing, NaN unknown, as last heard. */
  private running: number;

  constructor(saved?: ConveyorStandSaved) {
    this.stands = saved?.is ?? false;
    this.dueMs = saved?.dueMs ?? Infinity;
    this.running = fromSaved(saved?.running);
  }

  /** @returns whether that is news */
  hear(timeMs: number, running: number): boolean {
    if (Object.is(running, this.running)) return false;
    this.running = running;
    this.dueMs = running === 0 && !this.stands ? timeMs + STANDS_AFTER_MS : Infinity;
    return true;
  }

  get runs(): boolean {
    return this.running === 1;
  }

  turn(stands: boolean): void {
    this.stands = stands;
    this.dueMs = Infinity;
  }

  /** Undefined where nobody ever said whether it runs. */
  save(): ConveyorStandSaved | undefined {
    if (Number.isNaN(this.running) && !this.stands) return undefined;
    return { is: this.stands, dueMs: this.dueMs === Infinity ? null : this.dueMs, running: toSaved(this.running) };
  }
}
