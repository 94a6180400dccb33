import { setTimeout as pause } from 'node:timers/promises';
import type { Clock } from '../process/clock.js';
import type { Log } from '../process/log.js';
import type { Retention } from '../store/disk-use.js';
import type { StoreWriter } from '../store/store.js';

/** A month of raw readings for whoever wants to look again; minutes so long that this season can be laid beside the last. */
export const USUAL_RETENTION: Retention = { rawDays: 30, minuteDays: 400 };

const DAY_MS = 86_400_000;
/** Old things are looked for so often. */
const TRIM_EVERY_MS = 600_000;
/** Between two steps of some ms each: whoever reads and publishes comes first. */
const BREATH_MS = 4;
/** From here on room is made, so that what comes meanwhile finds its place. */
const FULL = 0.95;

type Store = Pick<StoreWriter, 'compactReadings' | 'trimReadings' | 'trimMinutes' | 'makeRoom'>;

/** Keeps the store small beside the agent's work: moves readings into blocks, lets old ones go, stays within its room. */
export class Housekeeping {
  private trimmedMs = -Infinity;
  private round: Promise<void> = Promise.resolve();
  private busy = false;
  private stopping = false;
  private well = true;

  constructor(
    private readonly store: Store,
    private readonly retention: Retention,
    private readonly clock: Clock,
    private readonly log: Log,
  ) {}

  /** Begins a round, unless one is under way. */
  begin(): void {
    if (!this.busy && !this.stopping) void this.once();
  }

  /** One round. A store that is unwell is told of, and tried again by the next. */
  once(): Promise<void> {
    this.busy = true;
    this.round = this.work().then(
      () => {
        this.busy = false;
        this.well = true;
      },
      (error: unknown) => {
        this.busy = false;
        if (this.well) this.log.warn(`old readings cannot be put away: ${error instanceof Error ? error.message : String(error)}`);
        this.well = false;
      },
    );
    return this.round;
  }

  /** Ends with the step that is under way. */
  async stop(): Promise<void> {
    this.stopping = true;
    await this.round;
  }

  private async work(): Promise<void> {
    const { store, retention } = this;
    const { maxBytes } = retention;
    if (maxBytes !== undefined) await this.untilDone(() => store.makeRoom(maxBytes * FULL));
    await this.untilDone(() => store.compactReadings());
    const nowMs = this.clock.nowMs();
    if (Math.abs(nowMs - this.trimmedMs) < TRIM_EVERY_MS) return;
    await this.untilDone(async () => (await store.trimReadings(nowMs - retention.rawDays * DAY_MS)) > 0);
    await this.untilDone(async () => (await store.trimMinutes(nowMs - retention.minuteDays * DAY_MS)) > 0);
    this.trimmedMs = nowMs;
  }

  private async untilDone(step: () => Promise<boolean>): Promise<void> {
    while (!this.stopping && (await step())) await pause(BREATH_MS);
  }
}
