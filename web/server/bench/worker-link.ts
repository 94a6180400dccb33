import { Worker } from 'node:worker_threads';
import type { BenchProgress } from '../../../agent/contract/bench.js';
import type { BenchQuestion, BenchWords } from '../../../agent/contract/bench-questions.js';
import { ProblemError } from '../logic/problem.js';

/** Where a replay would need more, it ends with a sentence and the server goes on. */
const MOST_MEMORY_MB = 512;

/** A worker that is told to end looks up between two batches of readings. */
const ENDS_WITHIN_MS = 10_000;

interface Waiting {
  readonly resolve: (answer: unknown) => void;
  readonly reject: (error: Error) => void;
}

/** A worker that replays: questions to it, answers from it, and how far it is. */
export class WorkerLink {
  private readonly worker: Worker;
  private readonly waiting = new Map<number, Waiting>();
  private nr = 0;
  private over: string | undefined;
  private gone = false;

  constructor(file: URL, hear: (progress: BenchProgress) => void) {
    this.worker = new Worker(file, { resourceLimits: { maxOldGenerationSizeMb: MOST_MEMORY_MB } });
    this.worker.unref();
    this.worker.on('message', (words: BenchWords) => {
      if (words.say === 'progress') {
        hear(words.progress);
        return;
      }
      const waiting = this.waiting.get(words.nr);
      this.waiting.delete(words.nr);
      if (words.say === 'answer') waiting?.resolve(words.answer);
      else waiting?.reject(new ProblemError('bench-refused', words.words));
    });
    this.worker.on('error', (error) => {
      const memory = 'code' in error && error.code === 'ERR_WORKER_OUT_OF_MEMORY';
      this.end(
        memory ? 'The replay needed more memory than it may have; take a shorter stretch.' : `The replay broke off: ${error.message}`,
      );
      hear({ state: 'failed', run: 'a', share: 0, timeMs: null, words: this.over ?? '' });
    });
    this.worker.on('exit', () => {
      this.gone = true;
      this.end('The bench was closed.');
    });
  }

  /** @throws ProblemError where the worker refuses, in its words, or is no more */
  ask<T>(question: BenchQuestion): Promise<T> {
    if (this.over !== undefined) return Promise.reject(new ProblemError('bench-refused', this.over));
    const nr = ++this.nr;
    return new Promise<unknown>((resolve, reject) => {
      this.waiting.set(nr, { resolve, reject });
      this.worker.postMessage({ nr, question });
    }) as Promise<T>;
  }

  /** Lets the worker end by itself, so that nothing is cut off in the middle of a file; by force only where it does not. */
  async stop(): Promise<void> {
    if (this.gone) return;
    const ended = new Promise<void>((resolve) => this.worker.once('exit', () => resolve()));
    this.worker.ref();
    this.worker.postMessage({ nr: ++this.nr, question: { ask: 'close' } satisfies BenchQuestion });
    const force = setTimeout(() => void this.worker.terminate(), ENDS_WITHIN_MS);
    await ended;
    clearTimeout(force);
  }

  private end(words: string): void {
    this.over ??= words;
    for (const { reject } of this.waiting.values()) reject(new ProblemError('bench-refused', this.over));
    this.waiting.clear();
  }
}
