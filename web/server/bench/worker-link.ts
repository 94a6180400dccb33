import { Worker } from 'node:worker_threads';
import type { BenchProgress } from '../../../agent/contract/bench.js';
import type { BenchQuestion, BenchWords } from '../../../agent/contract/bench-questions.js';
import { ProblemError } from '../logic/problem.js';

/** Where a replay would need more, it ends with a sentence and the server goes on. */
const MOST_MEMORY_MB = 512;

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

  async stop(): Promise<void> {
    await this.worker.terminate();
  }

  private end(words: string): void {
    this.over ??= words;
    for (const { reject } of this.waiting.values()) reject(new ProblemError('bench-refused', this.over));
    this.waiting.clear();
  }
}
