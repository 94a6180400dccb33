import { describe, expect, it } from 'vitest';
import { StepWatch, type StepSample, type StepWatchSaved } from '../../../agent/flow/finding/step-watch.js';

const WINDOW_MS = 600_000;

type Seen = NonNullable<ReturnType<StepWatch['push']>>;

/** Windows of ten minutes at these positions; before some of them the conveyor stood for two hours. */
function windows(positions: readonly number[], stoodBefore: readonly number[] = []): StepSample[] {
  let fromMs = 0;
  return positions.map((restMm, i) => {
    const stoodMs = stoodBefore.includes(i) ? 7_200_000 : 0;
    fromMs += stoodMs;
    const sample = { fromMs, toMs: fromMs + WINDOW_MS, restMm, stoodMs };
    fromMs += WINDOW_MS;
    return sample;
  });
}

function watch(
  samples: readonly StepSample[],
  sure: (moveMm: number) => boolean = () => false,
  cut?: number,
): (readonly [window: number, step: Seen])[] {
  let steps = new StepWatch(4);
  return samples.flatMap((sample, i) => {
    if (i === cut) steps = new StepWatch(4, JSON.parse(JSON.stringify(steps.save())) as StepWatchSaved);
    const step = steps.push(sample, sure);
    return step === undefined ? [] : [[i, step] as const];
  });
}

const row = (...parts: readonly (readonly [count: number, mm: number])[]): number[] =>
  parts.flatMap(([count, mm]) => Array.from({ length: count }, () => mm));
/** A little scatter from window to window. */
const scattered = (positions: readonly number[], by: number): number[] => positions.map((mm, i) => mm + by * Math.sin(i * 2.4));

describe('a lasting step', () => {
  it('over a stop is believed after an hour, between the window before and the first after', () => {
    const samples = windows(row([20, 60], [20, 50]), [20]);
    const steps = watch(samples);
    expect(steps).toHaveLength(1);
    const [i, step] = steps[0]!;
    expect(step).toEqual({ fromMs: samples[19]!.toMs, toMs: samples[20]!.fromMs, moveMm: -10, whileRunning: false });
    expect(samples[i]!.toMs - step.toMs).toBe(3_600_000);
  });

  it('while running is one that began while running', () => {
    expect(watch(windows(row([20, 60], [20, 66])))).toMatchObject([[25, { moveMm: 6, whileRunning: true }]]);
  });

  it('is believed at once where it is just what a change of whole repeats would be', () => {
    expect(watch(windows(row([20, 60], [20, -16.2]), [20]), (moveMm) => Math.abs(moveMm + 76.2) < 1)).toMatchObject([
      [20, { moveMm: -76.2 }],
    ]);
  });

  it('is none where it is smaller than its set-point, or than three times what restarts usually do', () => {
    expect(watch(windows(row([20, 60], [20, 56.1]), [20]))).toEqual([]);
    const restarts = [4, 8, 12, 16, 20];
    const restless = windows(row([4, 60], [4, 63], [4, 60], [4, 63], [4, 60], [10, 52]), restarts);
    expect(watch(restless)).toEqual([]);
  });

  it('is none where the carriage comes back within the hour', () => {
    expect(watch(windows(row([20, 60], [4, 50], [20, 60]), [20]))).toEqual([]);
  });

  it('is none where the carriage drifts on or back: heat soaking in after a cold start does', () => {
    const soaking = [...row([20, 60]), ...Array.from({ length: 20 }, (_, i) => 60 - 20 * Math.exp(-i / 3))];
    expect(watch(windows(soaking, [20]))).toEqual([]);
  });

  it('is none where windows scatter by as much anyhow', () => {
    const restless = scattered(row([60, 60], [30, 66]), 4);
    expect(watch(windows(restless))).toEqual([]);
    expect(watch(windows(scattered(row([60, 60], [30, 66]), 0.3)))).toHaveLength(1);
  });

  it('is measured against where the carriage stood last, and the next against where it stands since', () => {
    const steps = watch(windows(row([20, 60], [20, 50], [20, 70]), [20, 40]));
    expect(steps.map(([, { moveMm }]) => moveMm)).toEqual([-10, 20]);
  });

  it('cannot be told from too few windows, nor from those whose heat is not known', () => {
    expect(watch(windows(row([2, 60], [20, 50]), [2]))).toEqual([]);
    expect(watch(windows(row([20, 60], [20, NaN]), [20]))).toEqual([]);
  });

  it('is forgotten where it is known anyhow', () => {
    const steps = new StepWatch(4);
    for (const sample of windows(row([20, 60]))) steps.push(sample, () => false);
    steps.restart();
    expect(
      windows(row([30, 20]))
        .map((sample) => steps.push(sample, () => false))
        .filter(Boolean),
    ).toEqual([]);
  });

  it('is the same whether or not the watch was saved on the way', () => {
    const samples = windows(scattered(row([20, 60], [20, 50], [20, 70]), 0.2), [20, 40]);
    for (const cut of [3, 19, 20, 23, 26, 41]) expect(watch(samples, undefined, cut)).toEqual(watch(samples));
  });
});
