import type { ClassicLevel } from 'classic-level';

/** A range of keys, as the session store asks for it. */
export interface KeyRange {
  readonly gte: string;
  readonly lt: string;
}

/** One change of many. */
export type Change =
  { readonly type: 'put'; readonly key: string; readonly value: Buffer } | { readonly type: 'del'; readonly key: string };

/** How long a change waits for others to go to disk with it. */
const GATHER_MS = 50;
/** So many changes go at once without waiting. */
const GATHER_AT_MOST = 5_000;
/** How long to wait after a failure. */
const RETRY_MS = 1_000;

/**
 * The database of the session store, with changes gathered in memory and written together.
 *
 * A message for a client that is there is put into its queue and taken out again within milliseconds; written one by one, each
 * costs five accesses to the disk, in no certain order. Gathered, most of it never reaches the disk, and everything is answered in
 * the order in which it was asked. The price: a broker that is killed forgets the last 50 ms of its queues; it acknowledges
 * before it stores in any case, and what must not be lost is safe only in the agent's journal.
 */
export class WriteBehindDisk {
  readonly #database: ClassicLevel<string, Buffer>;
  readonly #onFailure: (error: unknown) => void;
  /** undefined: to be deleted. */
  #gathered = new Map<string, Buffer | undefined>();
  #underWay: ReadonlyMap<string, Buffer | undefined> = new Map();
  #writing: Promise<void> | undefined;
  #timer: NodeJS.Timeout | undefined;
  #failing = false;
  #closed = false;

  /**
   * @param database - open; closed by `close`
   * @param onFailure - is told when something could not be read or written; what was to be written is kept and tried again
   */
  constructor(database: ClassicLevel<string, Buffer>, onFailure: (error: unknown) => void) {
    this.#database = database;
    this.#onFailure = onFailure;
  }

  /** The value of a key, or undefined. What cannot be read counts as not there, or one bad block would end the broker. */
  async get(key: string): Promise<Buffer | undefined> {
    if (this.#gathered.has(key)) return this.#gathered.get(key);
    if (this.#underWay.has(key)) return this.#underWay.get(key);
    if (this.#closed) return undefined;
    try {
      return await this.#database.get(key);
    } catch (error) {
      this.#report(error);
      return undefined;
    }
  }

  put(key: string, value: Buffer): Promise<void> {
    this.#change(key, value);
    return Promise.resolve();
  }

  del(key: string): Promise<void> {
    this.#change(key, undefined);
    return Promise.resolve();
  }

  batch(): Gathering;
  batch(changes: readonly Change[]): Promise<void>;
  batch(changes?: readonly Change[]): Gathering | Promise<void> {
    if (!changes) return new Gathering(this);
    for (const change of changes) this.#change(change.key, change.type === 'put' ? change.value : undefined);
    return Promise.resolve();
  }

  async clear(range: KeyRange): Promise<void> {
    for await (const key of this.keys(range)) this.#change(key, undefined);
  }

  /** The values of a range in the order of their keys, as they are at the time of asking. */
  values(range: KeyRange): AsyncGenerator<Buffer> {
    return this.#read(() => this.#database.values(range));
  }

  keys(range: KeyRange): AsyncGenerator<string> {
    return this.#read(() => this.#database.keys(range));
  }

  /** Writes all that is gathered at the time of asking; fails where it cannot. */
  async flush(): Promise<void> {
    await this.#writing?.catch(() => undefined);
    // Whoever has begun to write in the meantime writes our changes too.
    await (this.#writing ?? (this.#gathered.size > 0 ? this.#write() : undefined));
  }

  /** Writes what is left and closes the database. */
  async close(): Promise<void> {
    try {
      await this.flush();
    } finally {
      this.#closed = true;
      clearTimeout(this.#timer);
      await this.#database.close();
    }
  }

  async *#read<Item>(open: () => AsyncIterable<Item>): AsyncGenerator<Item> {
    await this.#flushAsFarAsPossible();
    if (this.#closed) return;
    try {
      yield* open();
    } catch (error) {
      this.#report(error);
    }
  }

  /** After the end everything fails, and it matters to nobody. */
  #report(error: unknown): void {
    if (!this.#closed) this.#onFailure(error);
  }

  #change(key: string, value: Buffer | undefined): void {
    // Clients that are cut off as the broker stops have a last word; it comes too late.
    if (this.#closed) return;
    this.#gathered.set(key, value);
    if (this.#gathered.size >= GATHER_AT_MOST && !this.#writing && !this.#failing) void this.#flushAsFarAsPossible();
    else this.#writeIn(GATHER_MS);
  }

  #writeIn(ms: number): void {
    this.#timer ??= setTimeout(() => void this.#flushAsFarAsPossible(), ms);
  }

  /** With a full disk the broker goes on with what it has in memory. */
  async #flushAsFarAsPossible(): Promise<void> {
    await this.flush().catch((error: unknown) => this.#report(error));
  }

  async #write(): Promise<void> {
    clearTimeout(this.#timer);
    this.#timer = undefined;
    this.#underWay = this.#gathered;
    this.#gathered = new Map();
    this.#writing = this.#database.batch(
      [...this.#underWay].map(([key, value]) => (value === undefined ? { type: 'del', key } : { type: 'put', key, value })),
    );
    try {
      await this.#writing;
      this.#failing = false;
    } catch (error) {
      this.#failing = true;
      // What was changed since is newer.
      this.#gathered = new Map([...this.#underWay, ...this.#gathered]);
      this.#writeIn(RETRY_MS);
      throw error;
    } finally {
      this.#underWay = new Map();
      this.#writing = undefined;
    }
  }
}

/** Changes that are named one after the other. */
class Gathering {
  readonly #disk: WriteBehindDisk;
  readonly #changes: Change[] = [];

  constructor(disk: WriteBehindDisk) {
    this.#disk = disk;
  }

  del(key: string): this {
    this.#changes.push({ type: 'del', key });
    return this;
  }

  write(): Promise<void> {
    return this.#disk.batch(this.#changes);
  }
}
