import { agentStatusTopic, requestFilter } from './contract/topics.js';
import type { AgentStatus } from './contract/messages.js';
import type { UnansweredOut } from './flow/page/page-output.js';
import { BrokerLink, type Incoming } from './io/broker-link.js';
import { DataTime } from './live/data-time.js';
import { Housekeeping, USUAL_RETENTION } from './live/housekeeping.js';
import { Intake } from './live/intake.js';
import { Keeper } from './live/keeper.js';
import { Pager } from './live/pager.js';
import { prepareDays } from './live/prepare-days.js';
import { Publisher } from './live/publisher.js';
import { readingTopics } from './live/reading-topics.js';
import { recover } from './live/recover.js';
import { RequestDesk } from './live/request-desk.js';
import { unansweredInput } from './live/unanswered-input.js';
import { startInput } from './live/start-input.js';
import { SetUpDesk, type SiteFile } from './live/set-up-desk.js';
import type { Clock } from './process/clock.js';
import { createLifecycle, type Lifecycle, type OnStop } from './process/lifecycle.js';
import type { Log } from './process/log.js';
import { signalsOf, type Site } from './site/site.js';
import type { Retention } from './store/disk-use.js';
import type { AlarmEvent } from './store/history.js';
import { openSqliteWriter } from './store/sqlite-writer.js';
import { StoreCheck } from './store/store-check.js';
import { formatTime } from './units/time.js';

export interface AgentOptions {
  readonly site: Site;
  readonly dataDir: string;
  readonly broker: { readonly url: string; readonly username?: string; readonly password?: string };
  /** Names this agent among those of the site. */
  readonly id?: string;
  readonly clock: Clock;
  readonly log: Log;
  /** For how long history is kept and how much of the disk it may take; default `USUAL_RETENTION`. */
  readonly retention?: Retention;
  /** The site file, where it may be changed from the screens. */
  readonly siteFile?: SiteFile;
}

/** How often it is seen to which pictures are to go out. */
const PICTURE_MS = 50;
/** How long a reading at QoS 0 may wait to be journalled. */
const FLUSH_MS = 200;
const TICK_MS = 1000;
const HEARTBEAT_MS = 10_000;
const CHECKPOINT_MS = 60_000;
const HOUSEKEEPING_MS = 20_000;
/** So long the start waits for the look through the store, where it is not through by then. */
const CHECK_WAIT_MS = 500;

/** A fault that nobody waits for ends the program with its words; what was acknowledged is on the disk. */
function endNow(fault: unknown): void {
  setImmediate(() => {
    throw fault;
  });
}

/** What works together once the agent has begun. */
interface Parts {
  readonly keeper: Keeper;
  readonly intake: Intake;
  readonly desk: RequestDesk;
  readonly publisher: Publisher;
  readonly dataTime: DataTime;
  readonly house: Housekeeping;
}

/** One live agent: readings in over MQTT, journalled, through the pipeline, and its state and alarms out. */
export class Agent {
  private readonly id: string;
  private readonly life: Lifecycle<void>;
  private parts: Parts | undefined;

  constructor(private readonly options: AgentOptions) {
    this.id = options.id ?? 'agent';
    this.life = createLifecycle((onStop) => this.begin(onStop));
  }

  /** Readings that came in since the start, used or not. */
  get readingCount(): number {
    return this.parts?.intake.readings ?? 0;
  }

  /**
   * Opens the store, takes up where the last run stopped, and connects.
   * @throws TakelineFault where the store or the broker cannot be used; what had begun is undone
   */
  start(): Promise<void> {
    return this.life.start();
  }

  /** Stops taking readings, writes everything with a checkpoint, and lets go. Stopping twice is harmless. */
  stop(): Promise<void> {
    return this.life.stop();
  }

  private async begin(onStop: OnStop): Promise<void> {
    const { site, dataDir, clock, log } = this.options;
    const signals = signalsOf(site);
    const { maxBytes, ...keep } = this.options.retention ?? USUAL_RETENTION;
    const limit = maxBytes === undefined ? {} : { maxBytes };
    const store = await openSqliteWriter({ dataDir, signals: signals.map(({ name }) => name), ...limit });
    onStop('store', () => store.stop());
    const check = new StoreCheck(dataDir);
    onStop('look through the store', () => check.stop());
    await store.recordRetention({ ...keep, ...limit });
    const house = new Housekeeping(store, { ...keep, ...limit }, clock, log);
    onStop('housekeeping', () => house.stop());
    const { pipeline, outputs, begunAnew, known, recent } = await recover(site, store);
    for (const conveyor of begunAnew)
      log.warn(`${conveyor}: what was saved of it does not fit the site file any more, so its filters and trend begin anew`);

    const link = this.linkTo();
    const publisher = new Publisher(site.id, this.id, pipeline, link);
    const dataTime = new DataTime(clock, Math.max(...signals.map(({ lostAfterMs }) => lostAfterMs)));
    const tellUnanswered = async (said: UnansweredOut): Promise<void> => {
      const input = unansweredInput(said, dataTime.nowMs());
      if (input) await keeper.enter(input);
    };
    const pager = await Pager.open({ site, pages: store.pages, dataDir, clock, log, tellUnanswered });
    onStop('pager', () => pager.stop());
    const tell = {
      alarms: (events: readonly AlarmEvent[]): void => {
        publisher.alarms(events);
        pager.take(events);
      },
      findings: publisher.findings.bind(publisher),
    };
    const keeper: Keeper = new Keeper(store, pipeline, tell, log, () => {
      link.renew();
    });
    keeper.outputs.take(outputs);
    const intake = new Intake(pipeline, keeper, recent, dataTime, log);
    const { siteFile } = this.options;
    const setUp = new SetUpDesk({ pipeline, outputs: keeper.outputs, publisher, store, clock, log, siteFile });
    await setUp.recordStart();
    const desk = new RequestDesk(pipeline, keeper, publisher, { wall: clock, data: dataTime }, log, known, setUp);
    const parts = { keeper, intake, desk, publisher, dataTime, house };
    this.parts = parts;

    // While nobody listened no signal was silent.
    await keeper.enter(startInput(clock.nowMs()));

    // Nothing is taken into a store that is known to be damaged. A look through very many years goes on beside the work.
    await check.within(CHECK_WAIT_MS);
    check.done.catch(endNow);

    await link.start();
    onStop('journal', () => keeper.close());
    onStop('broker', async () => {
      await keeper.close();
      if (link.connected) this.tellStatus(parts, false);
      await link.stop();
    });
    await keeper.flush();
    this.tellAll(parts);
    await pager.wake();
    onStop('timers', this.beat(parts));
    onStop('past days', prepareDays(pipeline));
  }

  private linkTo(): BrokerLink {
    const { site, broker, clock, log } = this.options;
    const gone: AgentStatus = { version: 1, agent: this.id, site: site.id, running: false, time: formatTime(clock.nowMs()) };
    let begun = false;
    return new BrokerLink({
      ...broker,
      clientId: `takeline-agent-${site.id}-${this.id}`,
      keepSession: true,
      topics: [...readingTopics(site).keys(), requestFilter(site.id)],
      will: { topic: agentStatusTopic(site.id, this.id), payload: JSON.stringify(gone) },
      take: (message) => this.take(message),
      onState: (connected, why) => {
        if (!connected) log.warn(`broker: ${why}`);
        else if (begun && this.parts !== undefined) {
          log.info('broker: connected again');
          this.tellAll(this.parts);
        }
        begun ||= connected;
      },
    });
  }

  private take(message: Incoming): Promise<void> | undefined {
    const { parts } = this;
    if (parts === undefined) throw new Error('a message came before there was anything to take it');
    const { keeper, intake, desk } = parts;
    // At QoS 1 the broker is told only when the reading is on the disk.
    if (intake.take(message, this.options.clock.nowMs())) return message.acknowledged ? keeper.soon() : undefined;
    const requests = requestFilter(this.options.site.id).slice(0, -1);
    if (message.topic.startsWith(requests)) return desk.take(message.topic.slice(requests.length), message.payload);
    // A topic of an earlier site file, which the broker still has in this agent's session.
    keeper.outputs.count('unknown-signal');
    return undefined;
  }

  /** Everything that a broker may have forgotten, or never heard. */
  private tellAll(parts: Parts): void {
    parts.publisher.everyAlarm();
    parts.publisher.everyPicture(parts.dataTime.nowMs(), performance.now());
    this.tellStatus(parts, true);
  }

  private tellStatus({ publisher, intake, keeper }: Parts, running: boolean): void {
    publisher.status(this.options.clock.nowMs(), running, intake.readings, keeper.outputs.rejected);
  }

  /** What is done again and again. @returns how to end it */
  private beat(parts: Parts): () => void {
    const { keeper, publisher, dataTime, house } = parts;
    const beats: readonly (readonly [ms: number, work: () => void])[] = [
      [
        PICTURE_MS,
        () => {
          publisher.pictures(dataTime.nowMs(), performance.now());
        },
      ],
      [
        FLUSH_MS,
        () => {
          keeper.flushQuietly();
        },
      ],
      [
        TICK_MS,
        () => {
          keeper.advance({ kind: 'tick', timeMs: dataTime.nowMs() });
        },
      ],
      [
        HEARTBEAT_MS,
        () => {
          this.tellStatus(parts, true);
        },
      ],
      [
        CHECKPOINT_MS,
        () => {
          keeper.flushQuietly(true);
        },
      ],
      [
        HOUSEKEEPING_MS,
        () => {
          house.begin();
        },
      ],
    ];
    const timers = beats.map(([ms, work]) => setInterval(work, ms));
    return () => {
      for (const timer of timers) clearInterval(timer);
    };
  }
}
