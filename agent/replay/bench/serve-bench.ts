import { readlinkSync } from 'node:fs';
import { setPriority } from 'node:os';
import type { BenchQuestion, BenchWords } from '../../contract/bench-questions.js';
import { TakelineFault } from '../../process/fault.js';
import { BenchSession, siteFrom } from './bench-session.js';
import { previewForeign } from './preview.js';

/** What a worker hears questions on and answers to. */
export interface BenchPort {
  on(event: 'message', hear: (message: { readonly nr: number; readonly question: BenchQuestion }) => void): unknown;
  postMessage(words: BenchWords): void;
  close(): void;
}

/** Live work goes first: how far behind it a replay stands, by the system's scale of 20. */
const NICENESS = 19;

/** Answers the questions that come in on a port, one after the other. */
export function serveBench(port: BenchPort): void {
  giveWay();
  let session: BenchSession | undefined;
  let closed = false;
  let last: Promise<void> = Promise.resolve();
  const answer = async (question: Exclude<BenchQuestion, { ask: 'close' }>): Promise<unknown> => {
    if (question.ask === 'open') {
      session = await BenchSession.open(question.opening, (progress) => {
        port.postMessage({ say: 'progress', progress });
      });
      if (closed) session.close();
      return session.opened;
    }
    if (question.ask === 'preview')
      return previewForeign(question.path, siteFrom(question.siteText, 'site.yaml'), question.mapText, question.folder);
    if (session === undefined) throw new TakelineFault('bench-not-open', 'Open a recording first.');
    return session.answer(question);
  };
  port.on('message', ({ nr, question }) => {
    // Not in its turn: it is what ends the others. Nothing of a library that reads files may be cut off in the middle, or it takes
    // the whole process with it; so the worker is left to end by itself.
    if (question.ask === 'close') {
      closed = true;
      session?.close();
      port.close();
      return;
    }
    last = last.then(async () => {
      try {
        port.postMessage({ say: 'answer', nr, answer: await answer(question) });
      } catch (error) {
        if (!(error instanceof TakelineFault)) throw error;
        port.postMessage({ say: 'refusal', nr, words: error.message });
      }
    });
  });
}

/** Lowers this thread, and no other of the process; where the system knows no threads by number, nothing happens. */
function giveWay(): void {
  try {
    const thread = Number(/task\/(\d+)$/.exec(readlinkSync('/proc/thread-self'))?.[1]);
    if (Number.isInteger(thread)) setPriority(thread, NICENESS);
  } catch {
    // A system without /proc shares its time between threads as it likes.
  }
}
