import { signal } from '@preact/signals';
import type { BenchDifferences, BenchResult, RunName } from '../../../agent/contract/bench.js';
import type { BenchKept } from '../../../agent/contract/bench-questions.js';
import type { BenchAsked, BenchSessionAnswer } from '../../server/bench/bench-answers.js';
import { ask } from './api.js';
import { wordsOf } from './session.js';

/** What is open on the bench; undefined where nothing is. */
export const benchSession = signal<BenchSessionAnswer | undefined>(undefined);
export const results = signal<Readonly<Partial<Record<RunName, BenchResult>>>>({});
export const differences = signal<BenchDifferences | undefined>(undefined);
/** Why the last thing did not work, in a sentence. */
export const benchProblem = signal('');

const POLL_MS = 400;

const pathOf = (id: string, rest = ''): string => `/api/bench/sessions/${encodeURIComponent(id)}${rest}`;

/** Opens a recording, and follows it until it is replayed. */
export async function openOnBench(asked: BenchAsked): Promise<void> {
  await attempt(async () => {
    results.value = {};
    differences.value = undefined;
    benchSession.value = await ask<BenchSessionAnswer>('POST', '/api/bench/sessions', asked);
    await follow();
  });
}

/** Replays the recording by another site file. */
export async function runSecond(siteText: string): Promise<void> {
  await attempt(async () => {
    const id = benchSession.value?.id ?? '';
    await ask('POST', pathOf(id, '/second'), { siteText, settings: {} });
    await follow();
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
  benchSession.value = undefined;
  results.value = {};
  differences.value = undefined;
  benchProblem.value = '';
  if (id !== undefined) await ask('DELETE', pathOf(id)).catch(() => undefined);
}

async function follow(): Promise<void> {
  for (;;) {
    const now = benchSession.value;
    if (now === undefined) return;
    const next = await ask<BenchSessionAnswer>('GET', pathOf(now.id));
    // It was closed, or another was opened meanwhile.
    if (benchSession.value?.id !== now.id) return;
    benchSession.value = next;
    const { state, run, words } = next.progress;
    if (state === 'failed') benchProblem.value = words ?? '';
    if (state === 'done') {
      const result = await askBench<BenchResult>(`/result?run=${run}`);
      const different = run === 'b' ? await askBench<BenchDifferences>('/differences') : undefined;
      if (benchSession.peek()?.id !== now.id) return;
      results.value = { ...results.value, [run]: result };
      if (different !== undefined) differences.value = different;
    }
    if (state === 'done' || state === 'failed') return;
    await new Promise((resolve) => setTimeout(resolve, POLL_MS));
  }
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
