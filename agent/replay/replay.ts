import type { ServiceEntry } from '../contract/service-entry.js';
import type { Output } from '../flow/output.js';
import type { WaySettings } from '../flow/way/site-settings.js';
import { siteSettings } from '../flow/way/site-settings.js';
import { Pipeline } from '../pipeline.js';
import { openRecording, type Recording } from '../recording/open-recording.js';
import type { OnReject, ReadingBatch } from '../recording/reading-batch.js';
import type { Site } from '../site/site.js';
import { Collector, type Collected } from './collector.js';

export interface ReplayOptions {
  readonly settings?: WaySettings;
  /** Service entries; each becomes known at its own time. */
  readonly entries?: readonly ServiceEntry[];
  /** Hears of the share of the file that is done, 0…1, and of the recording's own time. */
  readonly onProgress?: (share: number, timeMs: number) => void;
  readonly signal?: AbortSignal;
}

/** Opens readings, told the names of the site's signals and who hears of rows that are not taken. */
export type OpenReadings = (known: readonly string[], onReject: OnReject) => Recording;

/** Everything a replay found, in the order in which it is written. */
export interface ReplayResult extends Collected {
  readonly pipeline: Pipeline;
  /** Data rows, taken or not. */
  readonly readings: number;
}

/**
 * Runs a recording through the pipeline on the recording's own clock. Nothing is written.
 * @param from - the recording's path; or what opens readings that come from elsewhere
 * @throws TakelineFault where the file as a whole is no recording; DOMException AbortError where `signal` was aborted
 */
export async function replay(site: Site, from: string | OpenReadings, options: ReplayOptions = {}): Promise<ReplayResult> {
  const pipeline = new Pipeline(site, options.settings ?? siteSettings(site.filter));
  const collected = new Collector();
  const entries = [...(options.entries ?? [])].sort((a, b) => a.timeMs - b.timeMs);
  let nextEntry = 0;
  const open: OpenReadings = typeof from === 'string' ? (known, onReject) => openRecording(from, known, onReject) : from;
  const recording = open(pipeline.signals, (line, reason) => {
    collected.reject(line, reason);
  });
  const out: Output[] = [];
  for await (const batch of recording) {
    options.signal?.throwIfAborted();
    nextEntry = run(pipeline, batch, entries, nextEntry, out, collected);
    options.onProgress?.(recording.share, pipeline.timeMs);
  }
  out.push(...pipeline.finish());
  collected.take(out);
  return { pipeline, readings: recording.rows, ...collected.result(site) };
}

function run(
  pipeline: Pipeline,
  batch: ReadingBatch,
  entries: readonly ServiceEntry[],
  firstEntry: number,
  out: Output[],
  collected: Collector,
): number {
  const { count, timeMs, line } = batch;
  let nextEntry = firstEntry;
  let row = 0;
  while (row < count) {
    let entryMs = entries[nextEntry]?.timeMs ?? Infinity;
    while (entryMs <= (timeMs[row] as number)) {
      out.push(...pipeline.advance({ kind: 'service', timeMs: entryMs, entry: entries[nextEntry] as ServiceEntry }));
      entryMs = entries[++nextEntry]?.timeMs ?? Infinity;
    }
    const end = rowAt(timeMs, row, count, entryMs);
    while (row < end) {
      const before = out.length;
      row = pipeline.readRows(batch, row, end, out);
      if (out.length > before) collected.mark(out, before, timeMs[row - 1] as number, line[row - 1] as number);
    }
  }
  collected.see(timeMs, count);
  collected.take(out);
  return nextEntry;
}

/** The first row at or after a time. */
function rowAt(timeMs: Float64Array, from: number, to: number, atMs: number): number {
  if ((timeMs[to - 1] as number) < atMs) return to;
  let row = from;
  while ((timeMs[row] as number) < atMs) row++;
  return row;
}
