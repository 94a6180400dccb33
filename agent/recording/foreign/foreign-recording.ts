import { open, stat } from 'node:fs/promises';
import type { ForeignNotes } from '../../contract/bench.js';
import { TakelineFault } from '../../process/fault.js';
import type { ImportMap } from '../../site/import-map.js';
import { FileBytes } from '../file-bytes.js';
import type { Recording } from '../open-recording.js';
import { NOTHING_YET, type OnReject, type ReadingBatch } from '../reading-batch.js';
import { readFault, recordingFault } from '../recording-fault.js';
import { TimeOrder } from '../time-order.js';
import { ForeignTimes } from './foreign-time.js';
import { SortedRows } from './sorted-rows.js';
import { splitRow } from './split-row.js';

/** Reads a captured message for the signals that it feeds. */
export type DecodeMessage = (
  topic: string,
  payload: string,
  arrivalMs: number,
) => readonly { readonly signal: number; readonly timeMs: number; readonly value: number }[];

export interface ForeignParts {
  readonly path: string;
  readonly map: ImportMap;
  /** Names of the site's signals. */
  readonly known: readonly string[];
  readonly onReject: OnReject;
  readonly decode: DecodeMessage;
}

/** After so many bytes whoever waits for the first reading is given a chance to look up. */
const LONGEST_SILENCE_BYTES = 1 << 23;
/** No line of a table is longer; what is, is no text. */
const LONGEST_LINE = 1 << 20;

/** A recording in somebody else's form, read by a mapping. Its rows come sorted by time, whatever order they stand in. */
export class ForeignRecording implements Recording {
  rows = 0;
  private readonly times: ForeignTimes;
  private readonly places: ReadonlyMap<string, number>;
  private bytes: FileBytes | undefined;
  private size = 1;
  private readonly counts = { ambiguous: 0, skipped: 0, outOfOrder: 0, missing: 0 };
  private readonly sorted = new SortedRows();
  private lastMs = -Infinity;
  private header: readonly string[] | undefined;

  constructor(private readonly parts: ForeignParts) {
    this.times = new ForeignTimes(parts.map.timeFormat, parts.map.zone);
    this.places = new Map([...parts.map.signals].map(([from, signal]) => [from, parts.known.indexOf(signal)]));
  }

  get share(): number {
    return Math.min(1, (this.bytes?.bytesRead ?? 0) / this.size);
  }

  get notes(): ForeignNotes {
    return this.counts;
  }

  /** @throws TakelineFault where the file as a whole cannot be read by the mapping */
  async *[Symbol.asyncIterator](): AsyncGenerator<ReadingBatch, void, undefined> {
    try {
      yield* this.readAll();
      this.counts.outOfOrder = this.sorted.outOfOrder;
      // Drops repeats, as of any recording.
      const order = new TimeOrder(this.parts.known.length, this.parts.onReject);
      for (const { count, timeMs, signal, value, line } of this.sorted.batches()) {
        for (let i = 0; i < count; i++) order.add(timeMs[i] as number, signal[i] as number, value[i] as number, line[i] as number);
        yield* order.takeReady();
      }
      order.finish();
      yield* order.takeReady();
    } finally {
      this.sorted.close();
    }
  }

  /** Reads every row before the first is given, since the last may be the oldest. */
  private async *readAll(): AsyncGenerator<ReadingBatch, void, undefined> {
    const { path, map } = this.parts;
    const { size, gzip } = await lookAt(path);
    if (size === 0) throw recordingFault('recording-empty', path);
    this.size = size;
    this.bytes = new FileBytes(path, gzip);
    const decoder = new TextDecoder(map.encoding);
    let left = '';
    let nr = 0;
    let silentBytes = 0;
    for await (const chunk of this.bytes) {
      const lines = (left + decoder.decode(chunk, { stream: true })).split('\n');
      left = lines.pop() ?? '';
      if (left.length > LONGEST_LINE || (nr === 0 && left.includes('\0'))) throw notText(path);
      for (const line of lines) this.take(line, ++nr);
      silentBytes += chunk.length;
      if (silentBytes < LONGEST_SILENCE_BYTES) continue;
      yield NOTHING_YET;
      silentBytes = 0;
    }
    left += decoder.decode();
    if (left !== '') this.take(left, ++nr);
    if (this.rows === 0) throw recordingFault('recording-no-rows', path);
  }

  private take(raw: string, nr: number): void {
    const { map, path } = this.parts;
    const line = raw.endsWith('\r') ? raw.slice(0, -1) : raw;
    if (line.includes('\0')) throw notText(path);
    if (nr <= map.skipLines || line.trim() === '') return;
    if (map.form === 'mqtt') {
      this.takeMessage(line, nr);
      return;
    }
    const fields = splitRow(line, map.delimiter);
    if (this.header === undefined) {
      this.header = this.checkedHeader(fields);
      return;
    }
    this.rows++;
    const timeMs = this.timeOf(map.timeColumns.map((name) => fields[this.column(name)] ?? '').join(' '), nr);
    if (timeMs === undefined) return;
    if (map.form === 'wide') {
      for (const [name, place] of this.places) this.takeField(fields[this.column(name)], place, timeMs, nr);
      return;
    }
    const place = this.places.get((fields[this.column(map.nameColumn)] ?? '').trim());
    if (place === undefined) this.parts.onReject(nr, 'unknown-signal');
    else this.takeField(fields[this.column(map.valueColumn)], place, timeMs, nr);
  }

  private takeField(field: string | undefined, place: number, timeMs: number, nr: number): void {
    const text = (field ?? '').trim();
    if (this.parts.map.missing.has(text)) {
      this.counts.missing++;
      return;
    }
    const value = numberOf(text, this.parts.map.decimal);
    if (Number.isNaN(value)) this.parts.onReject(nr, 'unparsable');
    this.sorted.add(timeMs, place, value, nr);
  }

  private takeMessage(line: string, nr: number): void {
    this.rows++;
    const message = messageOf(line);
    const timeMs = message === undefined ? undefined : this.timeOf(message.time, nr);
    if (message === undefined) this.parts.onReject(nr, 'unparsable');
    if (message === undefined || timeMs === undefined) return;
    const readings = this.parts.decode(message.topic, message.payload, timeMs);
    if (readings.length === 0) this.parts.onReject(nr, 'unknown-signal');
    for (const reading of readings) {
      if (Number.isNaN(reading.value)) this.parts.onReject(nr, 'unparsable');
      this.sorted.add(reading.timeMs, reading.signal, reading.value, nr);
    }
  }

  private timeOf(text: string, nr: number): number | undefined {
    const time = this.times.read(text, this.lastMs);
    if (time.ok) {
      if (time.ambiguous) this.counts.ambiguous++;
      this.lastMs = time.timeMs;
      return time.timeMs;
    }
    if (time.why === 'skipped') this.counts.skipped++;
    this.parts.onReject(nr, 'unparsable');
    return undefined;
  }

  private column(name: string): number {
    return this.header?.indexOf(name) ?? -1;
  }

  /** The header, where it has every column that the mapping names. */
  private checkedHeader(fields: readonly string[]): readonly string[] {
    const { map, path } = this.parts;
    const header = fields.map((field) => field.trim().replace(/^\ufeff/, ''));
    const needed = [...map.timeColumns, ...(map.form === 'wide' ? map.signals.keys() : [map.nameColumn, map.valueColumn])];
    const lacking = needed.filter((name) => !header.includes(name));
    if (lacking.length === 0) return header;
    const there = header.join(', ');
    const shown = there.length > 120 ? `${there.slice(0, 120)} …` : there;
    throw new TakelineFault('import-columns', `${path}: there is no column ${lacking.join(', ')}; its header has: ${shown}`);
  }
}

function notText(path: string): TakelineFault {
  return new TakelineFault('import-not-text', `${path}: this is no text in lines; export it as CSV, or name its encoding in the mapping`);
}

/** A decimal with the file's mark; NaN where it is none. True and false are 1 and 0, as in any recording. */
function numberOf(text: string, decimal: '.' | ','): number {
  if (/^true$/i.test(text)) return 1;
  if (/^false$/i.test(text)) return 0;
  const plain = decimal === ',' ? text.replace(',', '.') : text;
  return /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/.test(plain) ? Number(plain) : NaN;
}

function messageOf(line: string): { readonly time: string; readonly topic: string; readonly payload: string } | undefined {
  try {
    const { time, topic, payload } = JSON.parse(line) as Partial<Record<string, unknown>>;
    if (typeof topic !== 'string' || payload === undefined || (typeof time !== 'string' && typeof time !== 'number')) return undefined;
    return { time: String(time), topic, payload: typeof payload === 'string' ? payload : JSON.stringify(payload) };
  } catch {
    return undefined;
  }
}

async function lookAt(path: string): Promise<{ readonly size: number; readonly gzip: boolean }> {
  try {
    const { size } = await stat(path);
    const file = await open(path, 'r');
    const { buffer } = await file.read(Buffer.alloc(2), 0, 2, 0).finally(() => file.close());
    return { size, gzip: buffer[0] === 0x1f && buffer[1] === 0x8b };
  } catch (error) {
    throw readFault(path, error);
  }
}
