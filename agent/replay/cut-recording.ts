import { open, readFile } from 'node:fs/promises';
import { TakelineFault } from '../process/fault.js';
import { FileBytes } from '../recording/file-bytes.js';
import { openRecording } from '../recording/open-recording.js';
import { readFault } from '../recording/recording-fault.js';
import { formatTime, parseTime } from '../units/time.js';

/** A case is read by people and stands in a repository; more than this nobody looks through. */
const LARGEST_CHARACTERS = 2 * 1024 * 1024;
/** No row is longer; what is, is no text. */
const LONGEST_ROW = 65_536;

/**
 * The rows of a recording from one time to another as CSV with a header. Rows of a CSV file come as they stand, bad ones among them,
 * since those may be what the case is about: one whose time cannot be read stays with the row before it.
 *
 * @param known - the site's signals; of a Parquet file only these are taken
 * @throws TakelineFault where the file cannot be read, or the stretch is too large for a case
 */
export async function cutRecording(path: string, known: readonly string[], fromMs: number, toMs: number): Promise<string> {
  const kept = new KeptText();
  const magic = await firstBytes(path);
  if (magic.toString('latin1') === 'PAR1') await cutBatches(path, known, fromMs, toMs, kept);
  else await cutRows(path, magic[0] === 0x1f && magic[1] === 0x8b, fromMs, toMs, kept);
  return kept.text();
}

async function cutRows(path: string, gzip: boolean, fromMs: number, toMs: number, kept: KeptText): Promise<void> {
  let left = '';
  let timeAt: number | undefined;
  let within = fromMs === -Infinity;
  const all = within && toMs === Infinity;
  const decoder = new TextDecoder('utf-8', { ignoreBOM: true });
  const take = (row: string): void => {
    if (timeAt === undefined) {
      timeAt = timeColumn(row);
      kept.add(row);
      return;
    }
    const timeMs = parseTime((row.split(',')[timeAt] ?? '').trim().replaceAll('"', ''));
    if (timeMs !== undefined) within = timeMs >= fromMs && timeMs <= toMs;
    if (all || (within && row.trim() !== '')) kept.add(row);
  };
  for await (const chunk of new FileBytes(path, gzip)) {
    const rows = (left + decoder.decode(chunk, { stream: true })).split('\n');
    left = rows.pop() ?? '';
    if (left.length > LONGEST_ROW) throw tooLarge();
    for (const row of rows) take(row);
  }
  if (left !== '') take(left);
}

function timeColumn(header: string): number {
  return header
    .replace(/^\ufeff/, '')
    .split(',')
    .findIndex((name) => name.trim().toLowerCase() === 'time');
}

async function cutBatches(path: string, known: readonly string[], fromMs: number, toMs: number, kept: KeptText): Promise<void> {
  kept.add('time,signal,value');
  for await (const { count, timeMs, signal, value } of openRecording(path, known, () => undefined)) {
    if (count > 0 && (timeMs[0] as number) > toMs) break;
    for (let i = 0; i < count; i++) {
      const at = timeMs[i] as number;
      if (at >= fromMs && at <= toMs) kept.add(`${formatTime(at)},${known[signal[i] as number] ?? ''},${String(value[i])}`);
    }
  }
}

/** Rows put together, as long as a person would read them. */
class KeptText {
  private readonly rows: string[] = [];
  private characters = 0;

  add(row: string): void {
    this.characters += row.length + 1;
    if (this.characters > LARGEST_CHARACTERS) throw tooLarge();
    this.rows.push(row);
  }

  text(): string {
    return this.rows.map((row) => `${row}\n`).join('');
  }
}

function tooLarge(): TakelineFault {
  return new TakelineFault('case-too-large', 'a fixture holds 2 MB of readings at most; take a shorter stretch, from one time to another');
}

async function firstBytes(path: string): Promise<Buffer> {
  try {
    const file = await open(path, 'r');
    try {
      const { buffer, bytesRead } = await file.read(Buffer.alloc(4), 0, 4, 0);
      return buffer.subarray(0, bytesRead);
    } finally {
      await file.close();
    }
  } catch (error) {
    throw readFault(path, error);
  }
}

/** The service entries of a file that are known by a time, line by line. @throws the system's error where it cannot be read */
export async function entryTextUntil(path: string, toMs: number): Promise<string> {
  const lines = (await readFile(path, 'utf8')).split('\n').filter((line) => line.trim() !== '');
  return lines
    .filter((line) => timeOfEntry(line) <= toMs)
    .map((line) => `${line}\n`)
    .join('');
}

/** A line that is no entry is kept, so that whoever reads the file says what is wrong with it. */
function timeOfEntry(line: string): number {
  try {
    const { time } = JSON.parse(line) as { time?: unknown };
    return typeof time === 'number' ? time : (parseTime(String(time)) ?? -Infinity);
  } catch {
    return -Infinity;
  }
}
