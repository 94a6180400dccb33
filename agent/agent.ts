import { readRequest } from './contract/requests.js';
import { agentStatusTopic, requestFilter } from './contract/topics.js';
import type { AgentStatus } from './contract/messages.js';
import type { Output } from './flow/output.js';
import { BrokerLink, type Incoming } from './io/broker-link.js';
import { JournalFeed } from './live/journal-feed.js';
import { PendingOutputs } from './live/outputs.js';
import { Publisher } from './live/publisher.js';
import { readingTopics, type Feed } from './live/reading-topics.js';
import { fingerprintOf, inputOf, recover, stateOf } from './live/recover.js';
import { readVerb } from './live/requests.js';
import type { Pipeline } from './pipeline.js';
import type { Clock } from './process/clock.js';
import { TakelineFault } from './process/fault.js';
import type { Log } from './process/log.js';
import { signalsOf, type Site } from './site/site.js';
import { openSqliteWriter } from './store/sqlite-writer.js';
import type { StoreWriter } from './store/store.js';
import { formatTime } from './units/time.js';

export interface AgentOptions {
  readonly site: Site;
  readonly dataDir: string;
  readonly broker: { readonly url: string; readonly username?: string; readonly password?: string };
  /** Names this agent among those of the site. */
  readonly id?: string;
  readonly clock: Clock;
  readonly log: Log;
}

/** How often pictures go out: at most two a second (contracts §5). */
const PICTURE_MS = 500;
/** How long a reading at QoS 0 may wait to be journalled. */
const FLUSH_MS = 200;
const TICK_MS = 1000;
const HEARTBEAT_MS = 10_000;
const CHECKPOINT_MS = 60_000;
/** Raw readings are kept for so long. */
const KEEP_READINGS_MS = 30 * 86_400_000;
const TRIM_MS = 600_000;
/** A reading whose own time is so far ahead of the clock is not believed: it would draw every other signal's silence after it. */
const AHEAD_MS = 300_000;

/** One live agent: readings in over MQTT, journalled, through the pipeline, and its state and alarms out. */
export class Agent {
  private readonly feeds: ReadonlyMap<string, readonly Feed[]>;
  private readonly waiting = new JournalFeed();
  private readonly outputs = new PendingOutputs();
  private readonly scratch: Output[] = [];
  private readonly timers: NodeJS.Timeout[] = [];
  private readonly link: BrokerLink;
  private readonly id: string;
  private store: StoreWriter | undefined;
  private pipeline!: Pipeline;
  private publisher!: Publisher;
  private readings = 0;
  private flushing: Promise<void> = Promise.resolve();
  private storeWell = true;
  private unknownTold = new Set<string>();

  constructor(private readonly options: AgentOptions) {
    const { site, broker } = options;
    this.id = options.id ?? 'agent';
    this.feeds = readingTopics(site);
    const gone: AgentStatus = { version: 1, agent: this.id, site: site.id, running: false, time: formatTime(options.clock.nowMs()) };
    this.link = new BrokerLink({
      ...broker,
      clientId: `takeline-agent-${site.id}-${this.id}`,
      keepSession: true,
      topics: [...this.feeds.keys(), requestFilter(site.id)],
      will: { topic: agentStatusTopic(site.id, this.id), payload: JSON.stringify(gone) },
      take: (message) => this.take(message),
      onState: (connected, why) => {
        this.brokerTurned(connected, why);
      },
    });
  }

  /**
   * Opens the store, takes up where the last run stopped, and connects.
   * @throws TakelineFault where the store or the broker cannot be used
   */
  async start(): Promise<void> {
    const { site, dataDir, log } = this.options;
    const signals = signalsOf(site).map(({ name }) => name);
    this.store = await openSqliteWriter({ dataDir, signals });
    const { pipeline, outputs, begunAnew } = await recover(site, this.store);
    this.pipeline = pipeline;
    this.outputs.take(outputs);
    for (const conveyor of begunAnew)
      log.warn(`${conveyor}: its signals or take-ups changed in the site file, so its filters and trend begin anew`);
    this.publisher = new Publisher(site.id, this.id, pipeline, this.link);
    await this.link.start();
    await this.flush();
    this.publisher.standing();
    this.publisher.pictures(this.options.clock.nowMs(), true);
    this.heartbeat();
    this.every(PICTURE_MS, () => {
      this.publisher.pictures(this.options.clock.nowMs(), false);
    });
    this.every(FLUSH_MS, () => this.flushQuietly());
    this.every(TICK_MS, () => {
      this.tick();
    });
    this.every(HEARTBEAT_MS, () => {
      this.heartbeat();
    });
    this.every(CHECKPOINT_MS, () => this.flushQuietly(true));
    this.every(TRIM_MS, () => void this.trim());
  }

  /** Readings that came in since the start, used or not. */
  get readingCount(): number {
    return this.readings;
  }

  private every(ms: number, work: () => void): void {
    this.timers.push(setInterval(work, ms));
  }

  private take(message: Incoming): Promise<void> | undefined {
    const feeds = this.feeds.get(message.topic);
    if (feeds === undefined) return this.takeOther(message);
    const arrivalMs = this.options.clock.nowMs();
    for (const feed of feeds) this.takeReading(feed, message.payload, arrivalMs);
    // At QoS 1 the broker is told only when the reading is on the disk.
    return message.acknowledged ? this.flush() : undefined;
  }

  private takeReading(feed: Feed, payload: string, arrivalMs: number): void {
    const decoded = feed.decode(payload, arrivalMs);
    this.readings++;
    if (!decoded.ok) {
      this.outputs.count('unparsable');
      this.tellOnce(feed.name, `${feed.name}: a payload was not used: ${decoded.why}`);
      // Whose it is and when it came is known: it is a reading of the signal that was no number.
      if (decoded.attributed) this.advance(feed.signal, decoded.timeMs, NaN);
      return;
    }
    if (decoded.timeMs > arrivalMs + AHEAD_MS) {
      this.outputs.count('ahead');
      this.tellOnce(
        feed.name,
        `${feed.name}: its time is more than five minutes ahead of this machine's clock; set the clock of the sensor or of this machine`,
      );
      return;
    }
    this.advance(feed.signal, decoded.timeMs, decoded.raw);
  }

  private advance(signal: number, timeMs: number, raw: number): void {
    this.waiting.push(signal, timeMs, raw);
    this.pipeline.read(signal, timeMs, raw, this.scratch);
    if (this.scratch.length > 0) this.takeOutputs();
  }

  private takeOutputs(): void {
    this.outputs.take(this.scratch);
    if (this.outputs.urgent) this.flushQuietly();
  }

  private takeOther({ topic, payload }: Incoming): Promise<void> | undefined {
    const prefix = requestFilter(this.options.site.id).slice(0, -1);
    if (!topic.startsWith(prefix)) {
      this.outputs.count('unknown-signal');
      return undefined;
    }
    return this.request(topic.slice(prefix.length), payload);
  }

  /** What is asked for is journalled before it is confirmed. */
  private async request(verb: string, payload: string): Promise<void> {
    const { clock, log } = this.options;
    const read = readRequest(payload);
    if (!read.ok) {
      log.warn(`a request to ${verb} was refused: ${read.message}`);
      if (read.request !== undefined) this.publisher.answer(read.request, false, read.message);
      return;
    }
    const nowMs = clock.nowMs();
    const asked = readVerb(this.pipeline, verb, read.request, nowMs);
    if (!asked.ok) {
      this.publisher.answer(read.request.request, false, asked.message);
      return;
    }
    await this.flush();
    const appended = await this.store?.appendInput(asked.input);
    if (appended?.outcome === 'id-taken') {
      this.publisher.answer(read.request.request, false, 'another one has that id already: give this one its own');
      return;
    }
    const input = inputOf(asked.input);
    if (appended?.outcome === 'added' && input) {
      this.scratch.push(...this.pipeline.advance(input));
      this.takeOutputs();
    }
    await this.flush();
    this.publisher.answer(read.request.request, true, asked.done);
  }

  private tick(): void {
    this.scratch.push(...this.pipeline.advance({ kind: 'tick', timeMs: this.options.clock.nowMs() }));
    this.takeOutputs();
  }

  /** Writes what waits, one write after the other. @param checkpoint - with the pipeline's state */
  private flush(checkpoint = false): Promise<void> {
    const next = this.flushing.then(() => this.write(checkpoint));
    // A failed write is told by `write`; whoever waits for this one hears of it, the next one begins anew.
    this.flushing = next.catch(() => undefined);
    return next;
  }

  /** As `flush`, where nobody waits: a failure has been told and the next write tries again. */
  private flushQuietly(checkpoint = false): void {
    this.flush(checkpoint).catch(() => undefined);
  }

  private async write(checkpoint: boolean): Promise<void> {
    const { store } = this;
    if (store === undefined || (this.waiting.size === 0 && this.outputs.empty && !checkpoint)) return;
    const batch = this.waiting.drain();
    try {
      await store.appendReadings(batch);
    } catch (error) {
      this.waiting.putBack(batch);
      this.storeTurned(false, error);
      this.publishUnwritten();
      throw error;
    }
    const outputs = this.outputs.drain();
    const saved = checkpoint && this.waiting.size === 0 ? { checkpoint: this.checkpoint(store) } : {};
    const fresh = new Set(await store.writeOutputs({ ...outputs, ...saved }));
    this.storeTurned(true, undefined);
    this.publisher.alarms(outputs.events.filter(({ id }) => fresh.has(id)));
    this.publisher.findings(outputs.findings);
  }

  private checkpoint(store: StoreWriter): { seq: number; fingerprint: string; state: string } {
    return { seq: store.lastSeq, fingerprint: fingerprintOf(this.options.site), state: stateOf(this.pipeline) };
  }

  /** The store is unwell: alarms go out all the same. What follows from the journal is written when it is well again. */
  private publishUnwritten(): void {
    const outputs = this.outputs.drain();
    this.publisher.alarms(outputs.events);
    this.publisher.findings(outputs.findings);
  }

  private storeTurned(well: boolean, error: unknown): void {
    if (well === this.storeWell) return;
    this.storeWell = well;
    const { log } = this.options;
    if (well) log.info('the store takes readings again');
    else
      log.error(
        `the store takes no readings: ${error instanceof Error ? error.message : String(error)}; they are held in memory until it does`,
      );
  }

  private brokerTurned(connected: boolean, why: string): void {
    const { log } = this.options;
    if (!connected) log.warn(`broker: ${why}; trying again every two seconds`);
    else if (this.store !== undefined && this.timers.length > 0) {
      log.info('broker: connected again');
      this.publisher.standing();
      this.publisher.pictures(this.options.clock.nowMs(), true);
      this.heartbeat();
    }
  }

  private heartbeat(): void {
    this.publisher.status(this.options.clock.nowMs(), true, this.readings, this.outputs.rejected);
  }

  private async trim(): Promise<void> {
    try {
      await this.store?.trimReadings(this.options.clock.nowMs() - KEEP_READINGS_MS);
    } catch (error) {
      this.storeTurned(false, error);
    }
  }

  private tellOnce(signal: string, sentence: string): void {
    if (this.unknownTold.has(signal)) return;
    this.unknownTold.add(signal);
    this.options.log.warn(sentence);
  }

  /** Stops taking readings, writes everything with a checkpoint, and lets go. Stopping twice is harmless. */
  async stop(): Promise<void> {
    for (const timer of this.timers.splice(0)) clearInterval(timer);
    const { store } = this;
    if (store === undefined) return;
    if (this.link.connected) this.publisher.status(this.options.clock.nowMs(), false, this.readings, this.outputs.rejected);
    await this.link.stop();
    try {
      await this.flush(true);
    } catch (error) {
      if (!(error instanceof TakelineFault)) throw error;
    }
    this.store = undefined;
    await store.stop();
  }
}
