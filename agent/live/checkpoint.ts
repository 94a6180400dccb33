import { createHash } from 'node:crypto';
import { historyOf, type HistorySaved } from '../flow/ledger/history.js';
import type { ConveyorWay } from '../flow/way/conveyor-way.js';
import { shapeOf, type ConveyorShape } from '../flow/way/refit.js';
import type { ConveyorWaySaved } from '../flow/way/saved.js';
import type { Pipeline, PipelineSaved } from '../pipeline.js';
import type { Site } from '../site/site.js';
import type { NewCheckpoint, PartOfState } from '../store/journal.js';
import type { StoreWriter } from '../store/store.js';

/** What is saved once for all conveyors. Early versions had the conveyors in it as well, and their shapes. */
export interface SavedState {
  readonly pipeline: Omit<PipelineSaved, 'ways'> & Partial<Pick<PipelineSaved, 'ways'>>;
  readonly shapes?: Readonly<Record<string, ConveyorShape | string>>;
}

/** What is saved of each conveyor, under its name. */
interface SavedConveyor {
  /** Without the settled windows before the day of the last: those are saved under a name of their own. */
  readonly way: ConveyorWaySaved;
  readonly shape: ConveyorShape;
}

/** Tells the site a checkpoint belongs to. */
export function fingerprintOf(site: Site): string {
  return createHash('sha256')
    .update(JSON.stringify(site.conveyors.map((conveyor) => [conveyor.id, shapeOf(conveyor)])))
    .digest('hex');
}

/**
 * Makes checkpoints of a pipeline, one after the other. Settled windows of past days are by far the most of a state and change once a
 * day: they are written again only then.
 */
export class CheckpointMaker {
  /** What the past of each conveyor was when it was last written, and what it is in the checkpoint that is being written. */
  private readonly written = new Map<string, string>();
  private readonly writing = new Map<string, string>();

  constructor(private readonly pipeline: Pipeline) {}

  /**
   * The state as it is now: to be written before the pipeline takes anything more.
   * @param seq - up to where in the journal the pipeline has taken everything
   */
  make(seq: number): NewCheckpoint {
    const { site, timeMs } = this.pipeline;
    const state: SavedState = { pipeline: { version: 1, nowMs: timeMs === -Infinity ? null : timeMs } };
    return { seq, fingerprint: fingerprintOf(site), state: JSON.stringify(state), parts: this.parts() };
  }

  /** The last checkpoint made is in the store. */
  done(): void {
    for (const [name, mark] of this.writing) this.written.set(name, mark);
  }

  private *parts(): Generator<PartOfState> {
    for (const way of this.pipeline.ways) {
      const { id } = way.conveyor;
      yield [id, JSON.stringify({ way: way.save('last-day'), shape: shapeOf(way.conveyor) } satisfies SavedConveyor)];
      yield [pastName(id), this.pastOf(way)];
    }
  }

  /** @returns undefined where it is in the store as it is */
  private pastOf({ conveyor: { id }, account }: ConveyorWay): string | undefined {
    const mark = account.pastMark;
    this.writing.set(id, mark);
    return this.written.get(id) === mark ? undefined : JSON.stringify(account.histories.map((history) => history.save('past')));
  }
}

/** No conveyor is called so: a name has no stroke in it. */
function pastName(conveyor: string): string {
  return `${conveyor}/past`;
}

/** What is saved under a conveyor's name, whether it fits the conveyor as it is now or not. */
export async function savedConveyor(saved: SavedState, id: string, store: StoreWriter): Promise<SavedConveyor | undefined> {
  const [part, pastPart] = [await store.loadCheckpointPart(id), await store.loadCheckpointPart(pastName(id))];
  if (part === undefined) {
    const [way, shape] = [saved.pipeline.ways?.[id], saved.shapes?.[id]];
    return way === undefined || shape === undefined ? undefined : { way, shape: readShape(shape) };
  }
  const { way, shape } = JSON.parse(part) as SavedConveyor;
  const past = pastPart === undefined ? [] : (JSON.parse(pastPart) as readonly HistorySaved[]);
  const histories = way.account.histories.map((last, index) => historyOf(past[index], last));
  return { way: { ...way, account: { ...way.account, histories } }, shape };
}

/** Early versions kept names of take-ups and signals as text. */
function readShape(shape: ConveyorShape | string): ConveyorShape {
  if (typeof shape !== 'string') return shape;
  const [takeups, signals] = JSON.parse(shape) as [string[], string[]];
  return { takeups, signals };
}
