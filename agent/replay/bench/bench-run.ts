import type { BenchMoment, BenchReject, BenchResult, BenchSettings, BenchTraces } from '../../contract/bench.js';
import type { ServiceEntry } from '../../contract/service-entry.js';
import type { Output, RejectReason } from '../../flow/output.js';
import type { WaySettings } from '../../flow/way/site-settings.js';
import { siteSettings } from '../../flow/way/site-settings.js';
import { takeupNow } from '../../flow/way/snapshot.js';
import { Pipeline } from '../../pipeline.js';
import { signalsOf, type Site } from '../../site/site.js';
import { Collector } from '../collector.js';
import type { ReplayResult } from '../replay.js';
import { benchResult } from './bench-result.js';
import { Probes } from './probe.js';
import type { Spool, SpoolBlock } from './spool.js';
import { StateShelf } from './state-shelf.js';
import { TraceBuckets } from './trace-buckets.js';

/** A state is kept every so many blocks: some 40 thousand readings, which the pipeline takes in well under 200 ms. */
const BLOCKS_A_STATE = 5;
/** Spans of no more readings than this are drawn from every one of them. */
const FINE_READINGS = 400_000;
/** Columns of the picture of a whole recording, shared by the take-ups. */
const MOST_COLUMNS = 16_384;
const FEWEST_COLUMNS = 1024;
/** Listed at most: enough to look through, little enough to send. */
const MOST_LISTED = 5000;

/** Where in the recording a pipeline stands. */
interface Cursor {
  readonly pipeline: Pipeline;
  block: number;
  row: number;
  entry: number;
  timeMs: number;
}

export interface BenchRunParts {
  readonly site: Site;
  readonly settings: BenchSettings;
  readonly entries: readonly ServiceEntry[];
  readonly spool: Spool;
  /** The signals that the spool's readings name. */
  readonly spooled: readonly string[];
  /** Rows that were not taken when the recording was read, and how many there were. */
  readonly refused: RefusedRows;
  /** A file for the states on the way. */
  readonly shelfPath: string;
}

/** What reading a recording left out. */
export interface RefusedRows {
  readonly rows: number;
  readonly counts: Partial<Record<RejectReason, number>>;
  readonly listed: readonly BenchReject[];
}

/** One variant of a site, run over the readings of a recording, and asked about any instant of it. */
export class BenchRun {
  private readonly shelf: StateShelf;
  private readonly collector = new Collector(MOST_LISTED);
  private readonly rejects: BenchReject[] = [];
  private readonly buckets: readonly TraceBuckets[];
  private readonly settings: WaySettings;
  private readonly entries: readonly ServiceEntry[];
  /** The spool's signals as the site's own; −1 for one that it does not have. */
  private readonly places: Int32Array;
  /** They are the same, in the same order. */
  private readonly allOwn: boolean;
  private readonly pipeline: Pipeline;
  /** Left where the last question about an instant ended, so that playing on costs only what is new. */
  private cursor: Cursor | undefined;
  private finished = false;

  constructor(private readonly parts: BenchRunParts) {
    this.shelf = new StateShelf(parts.shelfPath);
    // What is asked on the bench goes before what the site file says.
    this.settings = siteSettings({ ...parts.site.filter, ...parts.settings });
    this.entries = parts.entries.toSorted((a, b) => a.timeMs - b.timeMs);
    const own = new Map(signalsOf(parts.site).map(({ name }, index) => [name, index]));
    this.places = Int32Array.from(parts.spooled, (name) => own.get(name) ?? -1);
    this.allOwn = this.places.every((place, index) => place === index);
    const takeups = parts.site.conveyors.flatMap((conveyor) => conveyor.takeups);
    const columns = 2 * Math.floor(Math.max(FEWEST_COLUMNS, Math.min(MOST_COLUMNS, MOST_COLUMNS / takeups.length)) / 2);
    this.buckets = takeups.map(() => new TraceBuckets(columns));
    this.pipeline = new Pipeline(parts.site, this.settings);
  }

  get timeMs(): number {
    return this.pipeline.timeMs;
  }

  get done(): boolean {
    return this.finished;
  }

  /** Runs the recording, a block at a time. Each step gives the share that is done. */
  *run(): Generator<number, void, undefined> {
    const { spool } = this.parts;
    const cursor: Cursor = { pipeline: this.pipeline, block: 0, row: 0, entry: 0, timeMs: -Infinity };
    const probes = new Probes(this.pipeline, this.buckets);
    const out: Output[] = [];
    while (cursor.block < spool.blocks) {
      this.feedBlock(cursor, Infinity, out, probes);
      this.gather(out);
      if (cursor.block % BLOCKS_A_STATE === 0) {
        this.shelf.put({ block: cursor.block, entry: cursor.entry, timeMs: this.pipeline.timeMs }, this.pipeline.save());
      }
      yield cursor.block / spool.blocks;
    }
    out.push(...this.pipeline.finish());
    this.gather(out);
    this.finished = true;
  }

  /** What was found up to now. */
  result(): BenchResult {
    const { spool, site, refused } = this.parts;
    const collected = this.collector.result(site);
    const rejected = { ...collected.rejected };
    for (const [reason, count] of Object.entries(refused.counts)) rejected[reason as RejectReason] += count;
    const { firstMs, lastMs } = spool;
    const result: ReplayResult = { ...collected, rejected, firstMs, lastMs, pipeline: this.pipeline, readings: refused.rows };
    return benchResult(result, [...refused.listed, ...this.rejects].slice(0, MOST_LISTED), this.collector.leftOut);
  }

  /** Everything as it stood at an instant. */
  moment(timeMs: number): BenchMoment {
    const { pipeline } = this.goTo(timeMs);
    const takeups = pipeline.ways.flatMap((way) => way.tracks.map((_, index) => takeupNow(way, index, timeMs)));
    return { timeMs, takeups };
  }

  /** Traces of one take-up over a span, in at most so many columns. @param takeup - its place in the site */
  traces(takeup: number, fromMs: number, toMs: number, points: number): BenchTraces {
    const { spool, site } = this.parts;
    const readings = (spool.blockBefore(toMs) - spool.blockBefore(fromMs) + 1) * (spool.count / Math.max(1, spool.blocks));
    if (readings > FINE_READINGS) return (this.buckets[takeup] as TraceBuckets).view(fromMs, toMs, points, false);
    const buckets = site.conveyors.flatMap((conveyor) => conveyor.takeups).map(() => new TraceBuckets(points, { fromMs, toMs }));
    const cursor = this.startBefore(fromMs);
    const probes = new Probes(cursor.pipeline, buckets);
    while (cursor.block < spool.blocks) if (this.feedBlock(cursor, toMs, [], probes)) break;
    return (buckets[takeup] as TraceBuckets).view(fromMs, toMs, points, true);
  }

  close(): void {
    this.shelf.close();
  }

  private goTo(timeMs: number): Cursor {
    const state = this.shelf.before(timeMs);
    let { cursor } = this;
    const nearer = cursor !== undefined && cursor.timeMs <= timeMs && cursor.timeMs >= (state?.timeMs ?? -Infinity);
    if (cursor === undefined || !nearer) cursor = this.startBefore(timeMs);
    this.cursor = cursor;
    while (cursor.block < this.parts.spool.blocks) if (this.feedBlock(cursor, timeMs, [])) break;
    this.enterUntil(cursor, timeMs, []);
    if (Number.isFinite(cursor.pipeline.timeMs)) cursor.pipeline.advance({ kind: 'tick', timeMs });
    cursor.timeMs = timeMs;
    return cursor;
  }

  private startBefore(timeMs: number): Cursor {
    const { site } = this.parts;
    const state = this.shelf.before(timeMs);
    if (state === undefined) return { pipeline: new Pipeline(site, this.settings), block: 0, row: 0, entry: 0, timeMs: -Infinity };
    return {
      pipeline: new Pipeline(site, this.settings, state.saved()),
      block: state.block,
      row: 0,
      entry: state.entry,
      timeMs: state.timeMs,
    };
  }

  /** Feeds what is left of the cursor's block. @returns whether a reading after `untilMs` ended it */
  private feedBlock(cursor: Cursor, untilMs: number, out: Output[], probes?: Probes): boolean {
    const { pipeline } = cursor;
    const block = this.ownRows(cursor.block);
    const { count, timeMs } = block;
    const last = firstWhere(cursor.row, count, (row) => (timeMs[row] as number) > untilMs);
    let { row } = cursor;
    while (row < last) {
      this.enterUntil(cursor, timeMs[row] as number, out);
      const entryMs = this.entries[cursor.entry]?.timeMs ?? Infinity;
      const end = firstWhere(row, last, (at) => (timeMs[at] as number) >= entryMs);
      // It stops after a reading that was refused, for who wants to know which it was.
      while (row < end) row = pipeline.readRows(block, row, end, out, probes?.look);
      cursor.timeMs = timeMs[row - 1] as number;
    }
    cursor.row = row;
    if (row < count) return true;
    cursor.block++;
    cursor.row = 0;
    return false;
  }

  /** A block of the spool as the site's own pipeline takes it: without the signals that it does not have. */
  private ownRows(index: number): SpoolBlock {
    const block = this.parts.spool.read(index);
    if (this.allOwn) return block;
    const { timeMs, value, signal } = block;
    let count = 0;
    for (let row = 0; row < block.count; row++) {
      const place = this.places[signal[row] as number] as number;
      if (place < 0) continue;
      // In its own place: what stood there has been read.
      timeMs[count] = timeMs[row] as number;
      value[count] = value[row] as number;
      signal[count++] = place;
    }
    return { count, timeMs, value, signal };
  }

  private enterUntil(cursor: Cursor, timeMs: number, out: Output[]): void {
    for (let entry = this.entries[cursor.entry]; entry !== undefined && entry.timeMs <= timeMs; entry = this.entries[++cursor.entry]) {
      out.push(...cursor.pipeline.advance({ kind: 'service', timeMs: entry.timeMs, entry }));
    }
  }

  private gather(out: Output[]): void {
    for (const output of out) {
      if (output.kind !== 'reject' || this.rejects.length >= MOST_LISTED) continue;
      this.rejects.push({ reason: output.reason, signal: output.signal, timeMs: output.timeMs });
    }
    this.collector.take(out);
  }
}

/** The first row of which something is so that is so of all rows behind it; `to` where there is none. */
function firstWhere(from: number, to: number, is: (row: number) => boolean): number {
  let low = from;
  let high = to;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (is(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
}
