import { open, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { ForeignPreview } from '../../contract/bench.js';
import type { RejectReason } from '../../flow/output.js';
import { TakelineFault } from '../../process/fault.js';
import { FileBytes } from '../../recording/file-bytes.js';
import { readFault } from '../../recording/recording-fault.js';
import { signalsOf, type Site } from '../../site/site.js';
import { importMapFrom, openForeign } from '../open-foreign.js';

/** So much of a file is looked at: enough to see how it is written, however large it is. */
const HEAD_BYTES = 256 * 1024;
const LINES_SHOWN = 8;
const LONGEST_SHOWN = 400;
const READINGS_SHOWN = 12;

/**
 * How the beginning of a recording in somebody else's form reads by a mapping.
 * @param mapText - left out, only its first lines are shown
 * @param folder - for a copy of the beginning
 */
export async function previewForeign(path: string, site: Site, mapText: string | undefined, folder: string): Promise<ForeignPreview> {
  const head = await headOf(path);
  const signals = signalsOf(site).map(({ name }) => name);
  const lines = new TextDecoder()
    .decode(head.subarray(0, LINES_SHOWN * LONGEST_SHOWN))
    .split(/\r?\n/)
    .slice(0, LINES_SHOWN)
    .map((line) => line.slice(0, LONGEST_SHOWN));
  if (mapText === undefined) return { lines, signals, readings: [] };
  const rejected: Partial<Record<RejectReason, number>> = {};
  try {
    const map = importMapFrom(mapText, 'mapping', site);
    const copy = copyName(folder);
    // A row that is cut off at the end of what is looked at is none of the file's.
    await writeFile(copy, head.subarray(0, head.length < HEAD_BYTES ? head.length : head.lastIndexOf(0x0a) + 1));
    const recording = openForeign(copy, map, site, (_line, reason) => {
      rejected[reason] = (rejected[reason] ?? 0) + 1;
    });
    const readings: ForeignPreview['readings'][number][] = [];
    let count = 0;
    for await (const batch of recording) {
      count += batch.count;
      for (let i = 0; i < batch.count && readings.length < READINGS_SHOWN; i++) {
        const value = batch.value[i] as number;
        readings.push({
          timeMs: batch.timeMs[i] as number,
          signal: signals[batch.signal[i] as number] ?? '',
          value: Number.isNaN(value) ? null : value,
        });
      }
    }
    return { lines, signals, readings, read: { rows: recording.rows, readings: count, rejected, notes: recording.notes } };
  } catch (error) {
    if (!(error instanceof TakelineFault)) throw error;
    return { lines, signals, readings: [], words: error.message.replaceAll(copyName(folder), 'the file') };
  }
}

function copyName(folder: string): string {
  return join(folder, 'head');
}

/** The beginning of a file, unpacked where it is gzip. */
async function headOf(path: string): Promise<Buffer> {
  const parts: Buffer[] = [];
  let length = 0;
  for await (const chunk of new FileBytes(path, await isGzip(path))) {
    parts.push(chunk);
    length += chunk.length;
    if (length >= HEAD_BYTES) break;
  }
  return Buffer.concat(parts).subarray(0, HEAD_BYTES);
}

async function isGzip(path: string): Promise<boolean> {
  try {
    const file = await open(path, 'r');
    const { buffer } = await file.read(Buffer.alloc(2), 0, 2, 0).finally(() => file.close());
    return buffer[0] === 0x1f && buffer[1] === 0x8b;
  } catch (error) {
    throw readFault(path, error);
  }
}
