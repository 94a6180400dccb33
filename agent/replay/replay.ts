import type { ServiceEntry } from '../contract/service-entry.js';
import type { AlarmOutput, FindingOutput, Output, RejectReason, SettledDayOutput } from '../flow/output.js';
import type { WaySettings } from '../flow/way/conveyor-way.js';
import { Pipeline } from '../pipeline.js';
import { openRecording, type Recording } from '../recording/open-recording.js';
import type { OnReject, ReadingBatch } from '../recording/reading-batch.js';
import type { Site } from '../site/site.js';

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
export interface ReplayResult {
  readonly pipeline: Pipeline;
  readonly firstMs: number;
  readonly lastMs: number;
  readonly readings: number;
  readonly rejected: Readonly<Record<RejectReason, number>>;
  readonly rejects: readonly RejectedRow[];
  readonly alarms: readonly AlarmOutput[];
  readonly days: readonly SettledDayOutput[];
  readonly findings: readonly FindingOutput[];
}

export interface RejectedRow {
  readonly line: number;
  readonly reason: RejectReason;
}

/**
 * Runs a recording through the pipeline on the recording's own clock. Nothing is written.
 * @param from - the recording's path; or what opens readings that come from elsewhere
 * @throws TakelineFault where the file as a whole is no recording; DOMException AbortError where `signal` was aborted
 */
export async function replay(site: Site, from: string | OpenReadings, options: ReplayOptions = {}): Promise<ReplayResult> {
  const pipeline = new Pipeline(site, options.settings);
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

/** Gathers what the pipeline gives out into what a replay writes. */
class Collector {
  private readonly rejected: Record<RejectReason, number> = {
    unparsable: 0,
    'unknown-signal': 0,
    'out-of-range': 0,
    spike: 0,
    late: 0,
    duplicate: 0,
  };
  private readonly rejects: RejectedRow[] = [];
  private readonly alarms: AlarmOutput[] = [];
  private readonly days = new Map<string, SettledDayOutput>();
  private readonly findings = new Map<string, FindingOutput>();
  private firstMs = Infinity;
  private lastMs = -Infinity;

  reject(line: number, reason: RejectReason): void {
    this.rejected[reason]++;
    this.rejects.push({ line, reason });
  }

  /** A row that the pipeline refused is listed with its line; a spike is counted only. */
  mark(out: readonly Output[], from: number, timeMs: number, line: number): void {
    for (let i = from; i < out.length; i++) {
      const output = out[i] as Output;
      if (output.kind === 'reject' && output.reason !== 'spike' && output.timeMs === timeMs)
        this.rejects.push({ line, reason: output.reason });
    }
  }

  see(timeMs: Float64Array, count: number): void {
    if (count === 0) return;
    this.firstMs = Math.min(this.firstMs, timeMs[0] as number);
    this.lastMs = Math.max(this.lastMs, timeMs[count - 1] as number);
  }

  /** Empties `out` into the collection. */
  take(out: Output[]): void {
    for (const output of out) {
      switch (output.kind) {
        case 'reject':
          this.rejected[output.reason]++;
          break;
        case 'alarm':
          this.alarms.push(output);
          break;
        case 'settled-day':
          this.days.set(`${output.date} ${output.conveyor} ${output.takeup}`, output);
          break;
        case 'finding':
          this.findings.set(output.id, output);
          break;
        case 'minute':
          break;
      }
    }
    out.length = 0;
  }

  result(site: Site): Omit<ReplayResult, 'pipeline' | 'readings'> {
    const order = new Map(
      site.conveyors.flatMap(({ id, takeups }) => takeups.map((takeup) => `${id} ${takeup.id}`)).map((name, index) => [name, index]),
    );
    const place = ({ conveyor, takeup }: SettledDayOutput): number => order.get(`${conveyor} ${takeup}`) ?? 0;
    return {
      firstMs: this.firstMs,
      lastMs: this.lastMs,
      rejected: this.rejected,
      rejects: this.rejects.sort((a, b) => a.line - b.line),
      alarms: this.alarms.sort((a, b) => a.timeMs - b.timeMs),
      days: [...this.days.values()].sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : place(a) - place(b))),
      findings: [...this.findings.values()].sort((a, b) => a.toMs - b.toMs),
    };
  }
}
