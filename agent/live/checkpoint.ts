import { createHash } from 'node:crypto';
import { wholeHistory, type History, type HistorySaved, type ShelfChange } from '../flow/ledger/history.js';
import { shapeOf, type ConveyorShape } from '../flow/way/refit.js';
import type { ChainAccountSaved, ConveyorWaySaved } from '../flow/way/saved.js';
import type { Pipeline, PipelineSaved } from '../pipeline.js';
import type { Conveyor, Site } from '../site/site.js';
import type { NewCheckpoint, PartOfState, PastDaysOfTakeup } from '../store/journal.js';
import type { StoreWriter } from '../store/store.js';

/** What is saved once for all conveyors. Early versions had the conveyors in it as well, and their shapes. */
export interface SavedState {
  readonly pipeline: Omit<PipelineSaved, 'ways'> & Partial<Pick<PipelineSaved, 'ways'>>;
  readonly shapes?: Readonly<Record<string, ConveyorShape | string>>;
}

/** What is saved of each conveyor, under its name. */
interface SavedConveyor {
  /**
   * The account has a part of its own, without the settled windows before the day of the last: those lie in the store by the day. Early
   * versions had it in here.
   */
  readonly way: Omit<ConveyorWaySaved, 'account'> & Partial<Pick<ConveyorWaySaved, 'account'>>;
  readonly shape: ConveyorShape;
}

function accountPart(conveyor: string): string {
  return `${conveyor}/account`;
}

/** Tells the site a checkpoint belongs to. */
export function fingerprintOf(site: Site): string {
  return createHash('sha256')
    .update(JSON.stringify(site.conveyors.map((conveyor) => [conveyor.id, shapeOf(conveyor)])))
    .digest('hex');
}

/**
 * Makes checkpoints of a pipeline, one after the other. Settled windows of past days, by far the most of what a pipeline knows, lie in the
 * store by the day and are written when a day ends or is drawn together: they are no part of what is written each minute. Of the rest, what
 * a conveyor knows of its chain is six sevenths, and another only when a window has settled: it is written only then.
 */
export class CheckpointMaker {
  /** What the checkpoint that is being written puts onto the shelves. */
  private shelving: (readonly [History, ShelfChange])[] = [];
  /** By the conveyor: up to which of its account's changes the store has it. */
  private readonly written = new Map<string, number>();
  /** The same as of the checkpoint that is being written. */
  private writing: (readonly [conveyor: string, changes: number])[] = [];

  constructor(private readonly pipeline: Pipeline) {}

  /**
   * The state as it is now: to be written before the pipeline takes anything more.
   * @param seq - up to where in the journal the pipeline has taken everything
   */
  make(seq: number): NewCheckpoint {
    const { site, timeMs } = this.pipeline;
    const state: SavedState = { pipeline: { version: 1, nowMs: timeMs === -Infinity ? null : timeMs } };
    this.shelving = [];
    this.writing = [];
    return { seq, fingerprint: fingerprintOf(site), state: JSON.stringify(state), parts: this.parts(), pastDays: this.pastDays() };
  }

  /** The last checkpoint made is in the store. */
  done(): void {
    for (const [history, change] of this.shelving) history.shelved(change);
    this.shelving = [];
    for (const [conveyor, changes] of this.writing) this.written.set(conveyor, changes);
    this.writing = [];
  }

  private *parts(): Generator<PartOfState> {
    for (const way of this.pipeline.ways) {
      const { conveyor, account } = way;
      const { id } = conveyor;
      yield [id, JSON.stringify({ way: way.saveReadings(), shape: shapeOf(conveyor) } satisfies SavedConveyor)];
      const { changes } = account;
      this.writing.push([id, changes]);
      yield [accountPart(id), this.written.get(id) === changes ? undefined : JSON.stringify(account.save('last-day'))];
    }
  }

  private *pastDays(): Generator<PastDaysOfTakeup> {
    for (const { conveyor, account } of this.pipeline.ways) {
      for (const [index, history] of account.histories.entries()) {
        const change = history.toShelve();
        if (change === undefined) continue;
        this.shelving.push([history, change]);
        yield { conveyor: conveyor.id, takeup: conveyor.takeups[index]?.id ?? '', ...change };
      }
    }
  }
}

/**
 * What is saved under a conveyor's name for the conveyor as it is now, whether it fits it or not.
 * @returns what reads it: as text it takes little room, so it is read when its turn has come, and let go again
 */
export async function savedConveyor(
  saved: SavedState,
  conveyor: Conveyor,
  store: StoreWriter,
): Promise<() => { readonly way: ConveyorWaySaved; readonly shape: ConveyorShape } | undefined> {
  const { id } = conveyor;
  const part = await store.loadCheckpointPart(id);
  const [ownAccount, past] = [await store.loadCheckpointPart(accountPart(id)), await store.loadCheckpointPart(`${id}/past`)];
  return () => {
    if (part === undefined) {
      const [way, shape] = [saved.pipeline.ways?.[id], saved.shapes?.[id]];
      return way === undefined || shape === undefined ? undefined : { way, shape: readShape(shape) };
    }
    const { way, shape } = JSON.parse(part) as SavedConveyor;
    const account = way.account ?? (ownAccount === undefined ? undefined : (JSON.parse(ownAccount) as ChainAccountSaved));
    if (account === undefined) return undefined;
    const histories = historiesOf(account.histories, past, shape, conveyor, store);
    return { way: { ...way, account: { ...account, histories } }, shape };
  };
}

/**
 * Of a conveyor that is still the same the past days stay in the store. Of one with other take-ups they are all taken out, since what
 * the others had taken up is counted otherwise; versions before had them in a part of their own.
 */
function historiesOf(
  last: readonly HistorySaved[],
  pastPart: string | undefined,
  shape: ConveyorShape,
  conveyor: Conveyor,
  store: StoreWriter,
): readonly HistorySaved[] {
  if (!last.some(({ onShelf }) => onShelf)) {
    const past = pastPart === undefined ? [] : (JSON.parse(pastPart) as readonly HistorySaved[]);
    return last.map(({ dates, rows }, index) => ({
      dates: [...(past[index]?.dates ?? []), ...dates],
      rows: [...(past[index]?.rows ?? []), ...rows],
    }));
  }
  if (JSON.stringify(shape.takenUpMm) === JSON.stringify(shapeOf(conveyor).takenUpMm) && sameNames(shape, conveyor)) return last;
  return last.map((history, index) => wholeHistory(history, store.pastDays(conveyor.id, shape.takeups[index] ?? '')));
}

function sameNames({ takeups }: ConveyorShape, conveyor: Conveyor): boolean {
  return takeups.join('/') === conveyor.takeups.map(({ id }) => id).join('/');
}

/** Early versions kept names of take-ups and signals as text. */
function readShape(shape: ConveyorShape | string): ConveyorShape {
  if (typeof shape !== 'string') return shape;
  const [takeups, signals] = JSON.parse(shape) as [string[], string[]];
  return { takeups, signals };
}
