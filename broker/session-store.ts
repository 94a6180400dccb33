import { createRequire } from 'node:module';
import { Readable } from 'node:stream';
import type { BacklogClient, Backlogs, MessageNumber } from './backlog.js';
import { filterCovers } from './topic-filter.js';
import type { KeyRange, WriteBehindDisk } from './write-behind-disk.js';

/** A subscription as a session keeps it. */
export interface KeptSubscription {
  readonly topic: string;
  readonly qos: number;
}

interface RetainedMessage {
  readonly topic: string;
}

/** The methods of the library's store that are changed here; it has more. */
interface LevelStore {
  setup(broker: object): Promise<void>;
  addSubscriptions(client: BacklogClient, subscriptions: readonly KeptSubscription[]): Promise<void>;
  createRetainedStream(filter: string): AsyncIterable<RetainedMessage>;
  createRetainedStreamCombi(filters: readonly string[]): Readable;
  outgoingEnqueueCombi(sessions: readonly { readonly clientId: string }[], packet: MessageNumber): Promise<void>;
  outgoingStream(client: BacklogClient): AsyncIterable<MessageNumber>;
  outgoingUpdate(client: BacklogClient, packet: MessageNumber): Promise<void>;
  outgoingClearMessageId(client: BacklogClient, packet: MessageNumber): Promise<MessageNumber | undefined>;
}

// The package says nothing of its types, and its main entry is a layer for callbacks, which the broker does not need.
const require = createRequire(import.meta.url);
const LevelStoreOfLibrary = require('aedes-persistence-level/asyncPersistence.js') as new (disk: WriteBehindDisk) => LevelStore;

/** Keys of queued messages: `outgoing:<client id>:<broker id>:<number>`. */
const QUEUED: KeyRange = { gte: 'outgoing:', lt: 'outgoing;' };

/** What the session store asks of the broker around it. */
export interface SessionStoreOptions {
  /** Messages that wait for one client at most. */
  readonly maxQueued: number;
  readonly backlogs: Backlogs;
  readonly maySubscribe: (client: BacklogClient, filter: string) => boolean;
  /** Is told the first time that a message finds a client's queue full, and again after it has been emptied. */
  readonly onQueueFull: (clientId: string) => void;
}

/** Retained messages, sessions and their queues, kept on disk. */
export class SessionStore extends LevelStoreOfLibrary {
  readonly #disk: WriteBehindDisk;
  readonly #options: SessionStoreOptions;
  readonly #queued = new Map<string, number>();
  readonly #full = new Set<string>();
  readonly #added = new WeakMap<readonly KeptSubscription[], Promise<void>>();
  #lastUpdate: Promise<void> = Promise.resolve();

  constructor(disk: WriteBehindDisk, options: SessionStoreOptions) {
    super(disk);
    this.#disk = disk;
    this.#options = options;
  }

  override async setup(broker: object): Promise<void> {
    await super.setup(broker);
    for await (const key of this.#disk.keys(QUEUED)) {
      const [, id] = key.split(':');
      if (id !== undefined) this.#count(decodeURIComponent(id), 1);
    }
  }

  /**
   * The broker hands over a whole list of subscriptions, once for each of it that is allowed: only what is allowed may be kept, and
   * keeping a thousand a thousand times would take most of a minute.
   */
  override addSubscriptions(client: BacklogClient, subscriptions: readonly KeptSubscription[]): Promise<void> {
    const already = this.#added.get(subscriptions);
    if (already) return already;
    const allowed = subscriptions.filter(({ topic }) => this.#options.maySubscribe(client, topic));
    const adding = super.addSubscriptions(client, allowed);
    this.#added.set(subscriptions, adding);
    return adding;
  }

  /** One look through the retained messages for all filters together; the library looks through them for each. */
  override createRetainedStreamCombi(filters: readonly string[]): Readable {
    return Readable.from(matching(filters, super.createRetainedStream('#')));
  }

  override outgoingEnqueueCombi(sessions: readonly { readonly clientId: string }[], packet: MessageNumber): Promise<void> {
    if (sessions.length === 0) return Promise.resolve();
    const withRoom = sessions.filter(({ clientId }) => this.#hasRoom(clientId));
    for (const { clientId } of withRoom) {
      this.#count(clientId, 1);
      this.#options.backlogs.queued(clientId, packet);
    }
    return super.outgoingEnqueueCombi(withRoom, packet);
  }

  override outgoingStream(client: BacklogClient): Readable {
    return Readable.from(this.#options.backlogs.workOff(client, () => super.outgoingStream(client)));
  }

  /**
   * A message is sent when this is done. One that is already on disk takes longer than one still in memory; they are sent in the
   * order in which they came all the same ([MQTT-4.6.0-6]).
   */
  override outgoingUpdate(client: BacklogClient, packet: MessageNumber): Promise<void> {
    const update = super.outgoingUpdate(client, packet);
    const inTurn = this.#lastUpdate.then(() => update);
    this.#lastUpdate = inTurn.catch(() => undefined);
    update.catch(() => undefined);
    return inTurn;
  }

  override async outgoingClearMessageId(client: BacklogClient, packet: MessageNumber): Promise<MessageNumber | undefined> {
    // A client without a kept session acknowledges what was never queued: no need to look for it on disk.
    if (!this.#queued.has(client.id)) return undefined;
    const cleared = await super.outgoingClearMessageId(client, packet);
    if (cleared === undefined) return undefined;
    this.#count(client.id, -1);
    this.#options.backlogs.acknowledged(client.id, cleared);
    return cleared;
  }

  #hasRoom(clientId: string): boolean {
    if ((this.#queued.get(clientId) ?? 0) < this.#options.maxQueued) return true;
    if (!this.#full.has(clientId)) this.#options.onQueueFull(clientId);
    this.#full.add(clientId);
    return false;
  }

  #count(clientId: string, change: 1 | -1): void {
    const count = (this.#queued.get(clientId) ?? 0) + change;
    if (count > 0) this.#queued.set(clientId, count);
    else {
      this.#queued.delete(clientId);
      this.#full.delete(clientId);
    }
  }
}

async function* matching(filters: readonly string[], retained: AsyncIterable<RetainedMessage>): AsyncGenerator<RetainedMessage> {
  const topics = new Set(filters);
  const patterns = filters.filter((filter) => /[+#]/.test(filter));
  for await (const message of retained) {
    if (topics.has(message.topic) || patterns.some((pattern) => filterCovers(pattern, message.topic))) yield message;
  }
}
