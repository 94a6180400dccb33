import { readServiceEntry } from '../contract/parse-service-entry.js';
import type { PastShelf } from '../flow/ledger/past-day.js';
import type { Output } from '../flow/output.js';
import { refit } from '../flow/way/refit.js';
import type { ConveyorWaySaved } from '../flow/way/saved.js';
import { siteSettings } from '../flow/way/site-settings.js';
import { Pipeline, type Input } from '../pipeline.js';
import type { Site } from '../site/site.js';
import type { JournalInput } from '../store/journal.js';
import type { StoreWriter } from '../store/store.js';
import { alarmInput } from './alarm-requests.js';
import { savedConveyor, type SavedState } from './checkpoint.js';
import { RecentReadings } from './recent-readings.js';
import { readStart } from './start-input.js';
import { readUnanswered } from './unanswered-input.js';

export interface Recovered {
  readonly pipeline: Pipeline;
  /** Outputs of what was journalled after the checkpoint, worked out again. */
  readonly outputs: Output[];
  /** Conveyors whose saved state did not fit the site as it is now. */
  readonly begunAnew: readonly string[];
  /** Ids of the entries and requests that were journalled after the checkpoint: a broker may deliver them again. */
  readonly known: Set<string>;
  /** The last readings of the journal, for the same reason. */
  readonly recent: RecentReadings;
}

/** So much of the journal's end is looked through for its last readings. */
const RECENT_ITEMS = 20_000;

/** The pipeline as it stood: the checkpoint, and after it everything that was journalled since. */
export async function recover(site: Site, store: StoreWriter): Promise<Recovered> {
  const checkpoint = await store.loadCheckpoint();
  const saved = checkpoint ? (JSON.parse(checkpoint.state) as SavedState) : undefined;
  const begunAnew: string[] = [];
  const reads = new Map<string, () => ConveyorWaySaved | undefined>();
  for (const conveyor of saved ? site.conveyors : []) {
    const read = saved && (await savedConveyor(saved, conveyor, store));
    reads.set(conveyor.id, () => {
      const own = read?.();
      const way = own && refit(own.way, own.shape, conveyor, saved?.pipeline.nowMs ?? 0);
      if (own && way === undefined) begunAnew.push(conveyor.id);
      return way;
    });
  }
  const shelfOf = (conveyor: string, takeup: string): PastShelf => store.pastDays(conveyor, takeup);
  const ways = (conveyor: string): ConveyorWaySaved | undefined => {
    const read = reads.get(conveyor);
    // Asked for once: its text may go.
    reads.delete(conveyor);
    return read?.();
  };
  const pipeline = new Pipeline(site, siteSettings(site.filter), saved && { ...saved.pipeline, ways }, shelfOf);
  const outputs: Output[] = [];
  const known = new Set<string>();
  for await (const item of store.readJournal(checkpoint?.seq ?? 0)) {
    if (item.kind === 'readings') {
      const { count, signal, timeMs, value } = item.columns;
      for (let i = 0; i < count; i++) pipeline.read(signal[i] as number, timeMs[i] as number, value[i] as number, outputs);
    } else {
      known.add(item.kind === 'service' ? item.entry.id : item.id);
      const input = inputOf(item);
      if (input) outputs.push(...pipeline.advance(input));
    }
  }
  return { pipeline, outputs, begunAnew, known, recent: await recentReadings(store) };
}

async function recentReadings(store: StoreWriter): Promise<RecentReadings> {
  const recent = new RecentReadings();
  for await (const item of store.readJournal(Math.max(0, store.lastSeq - RECENT_ITEMS))) {
    if (item.kind !== 'readings') continue;
    const { count, signal, timeMs } = item.columns;
    for (let i = 0; i < count; i++) recent.admit(signal[i] as number, timeMs[i] as number);
  }
  return recent;
}

/** A journalled input as the pipeline takes it. */
export function inputOf(item: JournalInput): Input | undefined {
  if (item.kind === 'service') {
    const read = readServiceEntry(item.entry.body);
    return read.ok ? { kind: 'service', timeMs: item.timeMs, entry: { ...read.entry, id: item.entry.id } } : undefined;
  }
  const own = readUnanswered(item.action, item.timeMs) ?? readStart(item.action, item.timeMs);
  if (own) return own;
  const { verb, conveyor, by, finding } = item.action;
  if (verb === 'reject-finding' && typeof conveyor === 'string' && typeof finding === 'string' && typeof by === 'string') {
    return { kind: 'reject-finding', timeMs: item.timeMs, conveyor, finding, by };
  }
  return alarmInput(item.timeMs, item.action);
}
