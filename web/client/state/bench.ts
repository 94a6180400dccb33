import { effect, signal } from '@preact/signals';
import type { BenchDifferences, BenchResult, RunName } from '../../../agent/contract/bench.js';
import type { BenchKept } from '../../../agent/contract/bench-questions.js';
import type { BenchAsked, BenchSessionAnswer } from '../../server/bench/bench-answers.js';
import { ApiProblem, ask } from './api.js';
import { isSignedOut, me, wordsOf } from './session.js';

/** What is open on the bench; undefined where nothing is. */
export const benchSession = signal<BenchSessionAnswer | undefined>(undefined);
export const results = signal<Readonly<Partial<Record<RunName, BenchResult>>>>({});
export const differences = signal<BenchDifferences | undefined>(undefined);
/** Why the last thing did not work, in a sentence. */
export const benchProblem = signal('');
/** Why it is not known just now how far the replay is, in a sentence; empty while it is. It goes on meanwhile, and is asked about again. */
export const benchSilence = signal('');

const POLL_MS = 400;
/** After the first question that was not answered; after each further one twice as long, up to the longest. */
const AGAIN_MS = 1_000;
const LONGEST_MS = 15_000;

const pathOf = (id: string, rest = ''): string => `/api/bench/sessions/${encodeURIComponent(id)}${rest}`;

/** Opens a recording, and follows it until it is replayed. */
export async function openOnBench(asked: BenchAsked): Promise<void> {
  await attempt(async () => {
    results.value = {};
    differences.value = undefined;
    const session = await ask<BenchSessionAnswer>('POST', '/api/bench/sessions', asked);
    benchSession.value = session;
    await follow(session.id);
  });
}

/** Replays the recording by another site file. */
export async function runSecond(siteText: string): Promise<void> {
  await attempt(async () => {
    const id = benchSession.value?.id ?? '';
    await ask('POST', pathOf(id, '/second'), { siteText, settings: {} });
    await follow(id);
  });
}

export function keepStretch(name: string, teaches: string, fromMs: number, toMs: number): Promise<BenchKept> {
  const words = teaches.trim() === '' ? {} : { teaches };
  return ask<BenchKept>('POST', pathOf(benchSession.value?.id ?? '', '/keep'), { name, fromMs, toMs, ...words });
}

/** What is asked of the open session. */
export function askBench<T>(rest: string): Promise<T> {
  return ask<T>('GET', pathOf(benchSession.value?.id ?? '', rest));
}

/** Cancels what runs and puts the recording away. */
export async function closeBench(): Promise<void> {
  const id = benchSession.value?.id;
  putAway();
  benchProblem.value = '';
  if (id !== undefined) await ask('DELETE', pathOf(id)).catch(() => undefined);
}

function putAway(): void {
  benchSession.value = undefined;
  results.value = {};
  differences.value = undefined;
  benchSilence.value = '';
}

/** What one person opened is not shown to the next who signs in here. */
let openedBy: string | undefined;
effect(() => {
  const name = me.value?.name;
  if (name === undefined || name === openedBy) return;
  openedBy = name;
  putAway();
});

/** Asks how far a replay is until it is over, was put away here, or the server knows nothing of it any more. A line that breaks ends nothing. */
async function follow(id: string): Promise<void> {
  for (let unanswered = 0; isOpen(id);) {
    try {
      const over = await isOver(id);
      unanswered = 0;
      if (isOpen(id)) benchSilence.value = '';
      if (over) return;
    } catch (error) {
      if (!isOpen(id)) return;
      if (isSignedOut(error)) me.value = null;
      if (!mayPass(error)) {
        benchSilence.value = '';
        if (error instanceof ApiProblem && error.status === UNKNOWN_HERE) putAway();
        throw error;
      }
      unanswered += 1;
      benchSilence.value = `How far the replay is cannot be told just now. ${wordsOf(error)} It is asked again.`;
    }
    const waitMs = unanswered === 0 ? POLL_MS : Math.min(LONGEST_MS, AGAIN_MS * 2 ** (unanswered - 1));
    await new Promise((resolve) => setTimeout(resolve, waitMs));
  }
}

function isOpen(id: string): boolean {
  return benchSession.peek()?.id === id;
}

/** Takes in how far a replay is and, at its end, what it showed. @returns whether there is nothing more to come */
async function isOver(id: string): Promise<boolean> {
  const next = await ask<BenchSessionAnswer>('GET', pathOf(id));
  const { state, run, words } = next.progress;
  const result = state === 'done' ? await ask<BenchResult>('GET', pathOf(id, `/result?run=${run}`)) : undefined;
  const different = state === 'done' && run === 'b' ? await ask<BenchDifferences>('GET', pathOf(id, '/differences')) : undefined;
  // It was closed, or another was opened meanwhile.
  if (!isOpen(id)) return true;
  benchSession.value = next;
  if (state === 'failed') benchProblem.value = words ?? '';
  if (result !== undefined) results.value = { ...results.value, [run]: result };
  if (different !== undefined) differences.value = different;
  return state === 'done' || state === 'failed';
}

/** The server's answer that there is no such thing. */
const UNKNOWN_HERE = 404;
const TOO_MANY = 429;

/** Whether the same question may be answered later: nobody was reached, is signed in, or had the time. */
function mayPass(error: unknown): boolean {
  return isSignedOut(error) || (error instanceof ApiProblem && (error.status === 0 || error.status === TOO_MANY || error.status >= 500));
}

async function attempt(what: () => Promise<void>): Promise<void> {
  benchProblem.value = '';
  try {
    await what();
  } catch (error) {
    benchProblem.value = wordsOf(error);
  }
}

/** Gives a person a file. What saves it is loaded when it is needed. */
export async function save(name: string, content: Blob): Promise<void> {
  const { saveFile } = await import('../charts/save-file.js');
  saveFile(name, content);
}
