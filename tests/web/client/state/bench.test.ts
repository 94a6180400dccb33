import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { BenchProgress } from '../../../../agent/contract/bench.js';
import { benchProblem, benchSession, benchSilence, closeBench, openOnBench, results } from '../../../../web/client/state/bench.js';

const STRETCH = { source: { kind: 'history', fromMs: 0, toMs: 3_600_000 } } as const;

/** How far the replay is when it is asked; undefined: there is no line. */
let progress: BenchProgress | Response | undefined;
let askedAt: number[];
beforeEach(() => {
  vi.useFakeTimers();
  askedAt = [];
  progress = { state: 'running', run: 'a', share: 0.2, timeMs: null };
  vi.stubGlobal('fetch', (path: string, { method }: { method: string }) => {
    if (method === 'DELETE') return Promise.resolve(new Response(null, { status: 204 }));
    if (path.includes('/result')) return Promise.resolve(json({ from: 'the replay' }));
    if (method === 'GET') askedAt.push(Date.now());
    if (progress === undefined) return Promise.reject(new TypeError('Failed to fetch'));
    return Promise.resolve(progress instanceof Response ? progress : json({ id: 'one', name: 'a stretch', progress }));
  });
});
afterEach(async () => {
  await closeBench();
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

const json = (body: unknown) => new Response(JSON.stringify(body), { headers: { 'content-type': 'application/json' } });
const gone = () =>
  new Response(JSON.stringify({ title: 'There is no such thing here', detail: 'Open it again.' }), {
    status: 404,
    headers: { 'content-type': 'application/problem+json' },
  });

describe('a replay that is followed', () => {
  it('is followed on where a question about it is not answered, ever more seldom, and the page says so meanwhile', async () => {
    const opened = openOnBench(STRETCH);
    await vi.advanceTimersByTimeAsync(1_000);
    progress = undefined;
    await vi.advanceTimersByTimeAsync(60_000);
    expect(benchSilence.value).toBe(
      'How far the replay is cannot be told just now. The Takeline server cannot be reached. It is asked again.',
    );
    expect(benchProblem.value).toBe('');
    const waits = askedAt.slice(1).map((atMs, index) => Math.round((atMs - (askedAt[index] ?? 0)) / 1000));
    expect(waits.slice(-6)).toEqual([1, 2, 4, 8, 15, 15]);

    progress = { state: 'done', run: 'a', share: 1, timeMs: 0 };
    await vi.advanceTimersByTimeAsync(15_000);
    await opened;
    expect(results.value.a).toEqual({ from: 'the replay' });
    expect(benchSilence.value).toBe('');
  });

  it('is put away, and said to be, where the server knows nothing of it any more', async () => {
    const opened = openOnBench(STRETCH);
    await vi.advanceTimersByTimeAsync(1_000);
    progress = gone();
    await vi.advanceTimersByTimeAsync(1_000);
    await opened;
    expect(benchSession.value).toBeUndefined();
    expect(benchProblem.value).toBe('Open it again.');
  });

  it('is asked about no more once it is closed', async () => {
    const opened = openOnBench(STRETCH);
    await vi.advanceTimersByTimeAsync(1_000);
    progress = undefined;
    await vi.advanceTimersByTimeAsync(1_000);
    await closeBench();
    const times = askedAt.length;
    await vi.advanceTimersByTimeAsync(60_000);
    await opened;
    expect(askedAt.length).toBe(times);
    expect(benchSilence.value).toBe('');
  });
});
