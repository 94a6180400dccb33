import type { Output } from '../flow/output.js';
import type { Input, Pipeline } from '../pipeline.js';
import { TakelineFault } from '../process/fault.js';
import type { Log } from '../process/log.js';
import type { Appended, JournalInput } from '../store/journal.js';
import type { StoreWriter } from '../store/store.js';
import { CheckpointMaker } from './checkpoint.js';
import { JournalFeed } from './journal-feed.js';
import { PendingOutputs } from './outputs.js';
import type { Publisher } from './publisher.js';
import { inputOf } from './recover.js';

/** Journals what comes in, then writes and publishes what follows from it: one write after the other, in the order of the journal. */
export class Keeper {
  readonly outputs = new PendingOutputs();

  private readonly checkpoints: CheckpointMaker;
  private readonly waiting = new JournalFeed();
  private writing: Promise<void> = Promise.resolve();
  private gathering: Promise<void> | undefined;
  private storeWell = true;
  /** Published while the store did not take them. */
  private readonly unwritten = new Set<string>();
  /** What a run worked out again from the journal may have been written before it was published: all of it goes out. */
  private caughtUp = false;

  constructor(
    private readonly store: StoreWriter,
    private readonly pipeline: Pipeline,
    private readonly publisher: Pick<Publisher, 'alarms' | 'findings'>,
    private readonly log: Log,
    /** The store takes readings again: what was not acknowledged meanwhile can be asked for anew. */
    private readonly onWell: () => void,
  ) {
    this.checkpoints = new CheckpointMaker(pipeline);
  }

  /** Puts a reading in line for the journal. */
  journal(signal: number, timeMs: number, raw: number): void {
    this.waiting.push(signal, timeMs, raw);
  }

  /** Takes what the pipeline gave out, and empties the list; what a person should see goes out at once. */
  take(outputs: Output[]): void {
    this.outputs.take(outputs);
    if (this.outputs.urgent) this.flushQuietly();
  }

  /** Passes an input that is not journalled through the pipeline: time itself. */
  advance(input: Input): void {
    this.take(this.pipeline.advance(input));
  }

  /** Journals an input that is not a reading and passes it through the pipeline, unless it is there already. */
  enter(input: JournalInput): Promise<Appended['outcome']> {
    return this.next(async () => {
      await this.write(false);
      const { outcome } = await this.store.appendInput(input);
      const taken = inputOf(input);
      if (outcome === 'added' && taken) this.outputs.take(this.pipeline.advance(taken));
      await this.write(false);
      return outcome;
    });
  }

  /** Writes what waits. @param checkpoint - with the pipeline's state */
  flush(checkpoint = false): Promise<void> {
    return this.next(() => this.write(checkpoint));
  }

  /**
   * What has come is written with all that comes in the same breath: one write to the disk for many.
   * @returns when what came before the call is durable
   */
  soon(): Promise<void> {
    this.gathering ??= new Promise<void>((resolve) => {
      setImmediate(() => {
        this.gathering = undefined;
        resolve(this.flush());
      });
    });
    return this.gathering;
  }

  /** As `flush`, where nobody waits: a failure has been told and the next write tries again. */
  flushQuietly(checkpoint = false): void {
    this.flush(checkpoint).catch(() => undefined);
  }

  /** The last write, with the pipeline's state. A store that is unwell has been told of, and keeps what it has. */
  async close(): Promise<void> {
    try {
      await this.flush(true);
    } catch (error) {
      if (!(error instanceof TakelineFault)) throw error;
    }
  }

  /** Whoever waits for a work hears of its failure; the next one begins anew. */
  private next<T>(work: () => Promise<T>): Promise<T> {
    const next = this.writing.then(work);
    this.writing = next.then(
      () => undefined,
      () => undefined,
    );
    return next;
  }

  private async write(checkpoint: boolean): Promise<void> {
    if (this.waiting.size === 0 && this.outputs.empty && !checkpoint) return;
    try {
      await this.writeReadings();
      await this.writeOutputs(checkpoint);
    } catch (error) {
      this.storeTurned(false, error);
      // The store is unwell: what a person should see goes out all the same, and is written when it is well again.
      this.tell(this.outputs.events, this.outputs.findings);
      throw error;
    }
    this.storeTurned(true, undefined);
    this.unwritten.clear();
  }

  private async writeReadings(): Promise<void> {
    const batch = this.waiting.drain();
    try {
      await this.store.appendReadings(batch);
    } catch (error) {
      this.waiting.putBack(batch);
      throw error;
    }
  }

  private async writeOutputs(checkpoint: boolean): Promise<void> {
    const outputs = this.outputs.drain();
    // The state has all that the pipeline took; the journal must have it too.
    const saved = checkpoint && this.waiting.size === 0 ? { checkpoint: this.checkpoints.make(this.store.lastSeq) } : {};
    try {
      const fresh = new Set(await this.store.writeOutputs({ ...outputs, ...saved }));
      if (saved.checkpoint !== undefined) this.checkpoints.done();
      const { caughtUp, unwritten } = this;
      this.caughtUp = true;
      this.publisher.alarms(outputs.events.filter(({ id }) => (!caughtUp || fresh.has(id)) && !unwritten.has(id)));
      this.publisher.findings(outputs.findings.filter(({ id }) => !unwritten.has(id)));
    } catch (error) {
      this.outputs.putBack(outputs);
      throw error;
    }
  }

  private tell(events: PendingOutputs['events'], findings: PendingOutputs['findings']): void {
    const untold = <T extends { readonly id: string }>(all: readonly T[]): T[] => all.filter(({ id }) => !this.unwritten.has(id));
    this.publisher.alarms(untold(events));
    this.publisher.findings(untold(findings));
    for (const { id } of [...events, ...findings]) this.unwritten.add(id);
  }

  private storeTurned(well: boolean, error: unknown): void {
    if (well === this.storeWell) return;
    this.storeWell = well;
    const why = error instanceof Error ? error.message : String(error);
    if (well) {
      this.log.info('the store takes readings again');
      this.onWell();
    } else this.log.error(`the store takes no readings: ${why}; they are held in memory until it does`);
  }
}
