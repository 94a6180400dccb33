import type { Output } from '../flow/output.js';
import type { Incoming } from '../io/broker-link.js';
import type { Pipeline } from '../pipeline.js';
import type { Log } from '../process/log.js';
import type { DataTime } from './data-time.js';
import type { Keeper } from './keeper.js';
import { hearReading, readingTopics, type Feed } from './reading-topics.js';
import type { RecentReadings } from './recent-readings.js';

/** A reading whose own time is so far ahead of the clock is not believed: it would draw every other signal's silence after it. */
const AHEAD_MS = 300_000;

/** Takes readings as they come from the broker: into the journal's queue and through the pipeline, or counted with the reason why not. */
export class Intake {
  /** Readings that came in since the start, used or not. */
  readings = 0;

  private readonly feeds: ReadonlyMap<string, readonly Feed[]>;
  private readonly told = new Set<string>();
  private readonly scratch: Output[] = [];

  constructor(
    private readonly pipeline: Pipeline,
    private readonly keeper: Keeper,
    private readonly recent: RecentReadings,
    private readonly dataTime: DataTime,
    private readonly log: Log,
  ) {
    this.feeds = readingTopics(pipeline.site);
  }

  /** @returns false where the topic feeds no signal */
  take(message: Incoming, arrivalMs: number): boolean {
    const feeds = this.feeds.get(message.topic);
    if (feeds === undefined) return false;
    for (const feed of feeds) this.takeFeed(feed, message, arrivalMs);
    return true;
  }

  private takeFeed(feed: Feed, { payload, retained }: Incoming, arrivalMs: number): void {
    this.readings++;
    const { decoded, ownTime } = hearReading(feed, payload, arrivalMs);
    const { timeMs } = decoded;
    if (retained && !ownTime) {
      this.refuse(
        feed,
        'kept',
        'the broker kept a reading that has no time of its own: it may be of any age; publish readings without retain',
      );
      return;
    }
    if (!decoded.ok) {
      this.refuse(feed, 'unparsable', `a payload was not used: ${decoded.why}`);
      if (!decoded.attributed) return;
    }
    if (timeMs > arrivalMs + AHEAD_MS) {
      this.refuse(
        feed,
        'ahead',
        "its time is more than five minutes ahead of this machine's clock: set the clock of the sensor or of this machine",
      );
      return;
    }
    if (ownTime && !this.recent.admit(feed.signal, timeMs)) {
      this.keeper.outputs.count('duplicate', feed.name);
      return;
    }
    this.dataTime.heard(timeMs, arrivalMs);
    // Whose it is and when it came is known: with no number in it, it is a reading of the signal that was none.
    this.read(feed.signal, timeMs, decoded.ok ? decoded.raw : NaN);
  }

  private read(signal: number, timeMs: number, raw: number): void {
    this.keeper.journal(signal, timeMs, raw);
    this.pipeline.read(signal, timeMs, raw, this.scratch);
    if (this.scratch.length > 0) this.keeper.take(this.scratch);
  }

  private refuse(feed: Feed, reason: string, why: string): void {
    this.keeper.outputs.count(reason, feed.name);
    const what = `${feed.name} ${reason}`;
    if (this.told.has(what)) return;
    this.told.add(what);
    this.log.warn(`${feed.name}: ${why} (said once; the agent's status counts them)`);
  }
}
