import { openRecording } from '../../agent/recording/open-recording.js';
import type { ReadingBatch } from '../../agent/recording/reading-batch.js';

/** A row that was taken: time, index of its signal, value. */
export type Taken = readonly [timeMs: number, signal: number, value: number];

export interface WholeRecording {
  readonly taken: readonly Taken[];
  readonly lines: readonly number[];
  /** `line reason` in order of lines. */
  readonly rejected: readonly string[];
  readonly rows: number;
}

/** Reads a recording to its end. */
export async function readAll(path: string, known: readonly string[]): Promise<WholeRecording> {
  const rejects: { readonly line: number; readonly reason: string }[] = [];
  const recording = openRecording(path, known, (line, reason) => rejects.push({ line, reason }));
  const batches: ReadingBatch[] = [];
  for await (const batch of recording) batches.push(batch);
  return { ...rowsOf(batches), rejected: listed(rejects), rows: recording.rows };
}

/** The rows of batches, one after the other. */
export function rowsOf(batches: readonly ReadingBatch[]): Pick<WholeRecording, 'taken' | 'lines'> {
  const indexes = batches.flatMap((batch) => Array.from({ length: batch.count }, (_, i) => ({ batch, i })));
  return {
    taken: indexes.map(({ batch, i }) => [batch.timeMs[i]!, batch.signal[i]!, batch.value[i]!] as const),
    lines: indexes.map(({ batch, i }) => batch.line[i]!),
  };
}

/** Rejects as they stand in `rejects.csv`. */
export function listed(rejects: readonly { readonly line: number; readonly reason: string }[]): readonly string[] {
  return [...rejects].sort((a, b) => a.line - b.line).map(({ line, reason }) => `${line} ${reason}`);
}
