import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { Worker } from 'node:worker_threads';
import { TakelineFault } from '../process/fault.js';
import { STORE_FILE } from './sqlite-file.js';

/** What the thread ends with: nothing where all is sound. */
export interface CheckFound {
  readonly code: string;
  readonly words: string;
}

/** It holds a page of the file at a time. */
const MOST_MEMORY_MB = 16;

/**
 * A look through what an open store keeps for good and cannot have again. How long it takes grows with the years, so it is done in a thread
 * of its own.
 */
export class StoreCheck {
  /** When everything was looked through, or `stop` ended it. Rejects with a `TakelineFault` where something is damaged or cannot be read. */
  readonly done: Promise<void>;

  private readonly worker: Worker;

  /** @param dataDir - of a store that is open for writing, and so up to date */
  constructor(dataDir: string) {
    this.worker = new Worker(new URL('store-check-worker.js', import.meta.url), {
      workerData: join(dataDir, STORE_FILE),
      resourceLimits: { maxOldGenerationSizeMb: MOST_MEMORY_MB },
    });
    this.done = new Promise((resolve, reject) => {
      this.worker.on('message', (found: CheckFound) => {
        reject(new TakelineFault(found.code, found.words));
      });
      this.worker.on('error', reject);
      this.worker.on('exit', () => {
        resolve();
      });
    });
    // Whoever waits for it hears of it; nobody need wait.
    this.done.catch(() => undefined);
  }

  /** Waits for the end of it, but no longer than so. @throws TakelineFault, by rejection, for what was found until then */
  async within(ms: number): Promise<void> {
    await Promise.race([this.done, pause(ms, undefined, { ref: false })]);
  }

  /** Ends it where it stands. Stopping twice, or after its end, is harmless. */
  async stop(): Promise<void> {
    await this.worker.terminate();
  }
}
