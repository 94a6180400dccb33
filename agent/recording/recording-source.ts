import type { ReadingBatch } from './reading-batch.js';

/** What every form of recording gives: its rows in order of time. */
export interface RecordingSource {
  /** Data rows met so far, taken or not. */
  readonly rows: number;
  /** @throws TakelineFault where the file is no recording or stops being one */
  batches(): AsyncGenerator<ReadingBatch, void, undefined>;
}
