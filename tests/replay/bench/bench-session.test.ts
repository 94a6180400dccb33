import { copyFileSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { BenchDifferences, BenchMoment, BenchProgress, BenchResult, BenchTraces } from '../../../agent/contract/bench.js';
import type { BenchKept, BenchSource } from '../../../agent/contract/bench-questions.js';
import { alarmLine } from '../../../agent/contract/replay-files.js';
import { takeupNow } from '../../../agent/flow/way/snapshot.js';
import { Pipeline } from '../../../agent/pipeline.js';
import { BenchSession } from '../../../agent/replay/bench/bench-session.js';
import { openRecording } from '../../../agent/recording/open-recording.js';
import { checkCase, entriesOf, siteOf } from '../../../agent/replay/replay-cases.js';
import { signalsOf } from '../../../agent/site/site.js';

const CASE = 'fixtures/replay/removal-recorded-late';
const folder = mkdtempSync(join(tmpdir(), 'takeline-bench-session-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

interface Opened {
  readonly session: BenchSession;
  readonly told: BenchProgress[];
  /** Waits until a run has ended. */
  readonly done: () => Promise<BenchProgress>;
}

async function open(source: BenchSource, more: { siteText?: string; serviceText?: string } = {}): Promise<Opened> {
  const told: BenchProgress[] = [];
  let ended: (progress: BenchProgress) => void = () => undefined;
  let ending = new Promise<BenchProgress>((resolve) => (ended = resolve));
  const session = await BenchSession.open({ source, folder: mkdtempSync(join(folder, 's-')), settings: {}, ...more }, (progress) => {
    told.push(progress);
    if (progress.state === 'done' || progress.state === 'failed') ended(progress);
  });
  const done = async (): Promise<BenchProgress> => {
    const progress = await ending;
    ending = new Promise((resolve) => (ended = resolve));
    return progress;
  };
  return { session, told, done };
}

const result = (session: BenchSession, run: 'a' | 'b' = 'a') => session.answer({ ask: 'result', run }) as Promise<BenchResult>;
const moment = (session: BenchSession, timeMs: number) => session.answer({ ask: 'moment', run: 'a', timeMs }) as Promise<BenchMoment>;

describe('a recording on the bench', () => {
  it('finds what its replay finds', async () => {
    const { session, done } = await open({ kind: 'case', folder: CASE });
    expect(await done()).toMatchObject({ state: 'done', run: 'a', share: 1 });
    const found = await result(session);
    const lines = found.alarms.map((alarm) => alarmLine({ ...alarm, kind: 'alarm', from: 'normal', to: 'normal' }));
    expect(`${lines.join('\n')}\n`).toBe(readFileSync(join(CASE, 'expected', 'alarms.jsonl'), 'utf8'));
    expect(found.summary).toEqual(JSON.parse(readFileSync(join(CASE, 'expected', 'summary.json'), 'utf8')));
    expect(found.findings.map(({ finding }) => finding)).toEqual(['chain-removed']);
  });

  it('stands at any instant as the pipeline stood, however one gets there', async () => {
    const { session, done } = await open({ kind: 'case', folder: CASE });
    await done();
    const [fromMs, toMs] = [Date.parse('2026-03-02T05:00:00Z'), Date.parse('2026-03-03T10:58:00Z')];
    const times = [0.9, 0.1, 0.5, 0.50001, 0.7, 0.3, 1].map((share) => Math.round(fromMs + share * (toMs - fromMs)));
    for (const timeMs of times) expect(await moment(session, timeMs)).toEqual({ timeMs, takeups: await stoodAt(timeMs) });
  });

  it('draws the extremes of every reading, each trace on one time axis', async () => {
    const { session, done } = await open({ kind: 'case', folder: 'fixtures/replay/spring-surge' });
    await done();
    const { firstMs, lastMs, rejected } = await result(session);
    const ask = { ask: 'traces', run: 'a', conveyor: 'enamel', takeup: 'tu1', fromMs: firstMs, toMs: lastMs, points: 200 } as const;
    const { traces, fine, stepMs } = (await session.answer(ask)) as BenchTraces;
    expect(fine).toBe(true);
    expect(traces.rawLeft.min.length).toBeLessThanOrEqual(200);
    expect(stepMs * traces.rawLeft.min.length).toBeGreaterThanOrEqual(lastMs - firstMs);
    const least = (values: readonly (number | null)[]): number => Math.min(...values.flatMap((value) => value ?? []));
    // The surge of three seconds is in the spring's trace, two spikes are in the raw trace alone.
    expect(rejected.spike).toBe(2);
    expect(least(traces.springLeft.min)).toBeLessThan(151);
    expect(least(traces.rawLeft.min)).toBeLessThanOrEqual(least(traces.freeLeft.min));
    expect(least(traces.smoothLeft.min)).toBeGreaterThan(least(traces.freeLeft.min));
  });

  it('draws a span that begins and ends between two readings', async () => {
    const { session, done } = await open({ kind: 'case', folder: CASE });
    await done();
    const { firstMs, lastMs } = await result(session);
    const [fromMs, toMs] = [firstMs + 0.3 * (lastMs - firstMs) + 0.7, firstMs + 0.4 * (lastMs - firstMs) + 0.3];
    const ask = { ask: 'traces', run: 'a', conveyor: 'enamel', takeup: 'tu1', fromMs, toMs, points: 100 } as const;
    const { traces, stepMs } = (await session.answer(ask)) as BenchTraces;
    expect(traces.rawLeft.max.filter((value) => value !== null).length).toBeGreaterThan(50);
    expect(stepMs * traces.rawLeft.min.length).toBeGreaterThanOrEqual(toMs - fromMs - stepMs);
  });

  it('lists what was not used and why', async () => {
    const { session, done } = await open({ kind: 'case', folder: 'fixtures/replay/bad-rows' });
    await done();
    const found = await result(session);
    const expected = JSON.parse(readFileSync('fixtures/replay/bad-rows/expected/summary.json', 'utf8')) as BenchResult['summary'];
    expect(found.rejected).toEqual(expected.recording.rejected);
    expect(found.summary.recording.readings).toBe(expected.recording.readings);
    expect(found.rejects.length).toBe(Object.values(found.rejected).reduce((sum, count) => sum + count));
  });
});

describe('two variants of one recording', () => {
  it('show which alarms are gained, lost, earlier and later, and how the elongation differs', async () => {
    const { session, done } = await open({ kind: 'case', folder: 'fixtures/replay/stroke-end' });
    await done();
    const siteText = session.opened.siteText.replace(
      'sides:',
      'limits: { stroke-low: { remaining_mm: 60 }, spring-slack: { compression_mm: 2 } }\n        sides:',
    );
    await session.answer({ ask: 'second', variant: { siteText, settings: {} } });
    await done();
    const { events, same, takeups } = (await session.answer({ ask: 'differences' })) as BenchDifferences;
    expect(events.map(({ key, change }) => [key, change])).toEqual([
      ['spring-slack', 'later'],
      ['stroke-low', 'earlier'],
    ]);
    expect(same).toBe(1);
    expect(takeups[0]?.largestOfDay?.pct).toBe(0);
  });

  it('are the same where nothing was changed', async () => {
    const { session, done } = await open({ kind: 'case', folder: CASE });
    await done();
    await session.answer({ ask: 'second', variant: { settings: {} } });
    await done();
    expect(await session.answer({ ask: 'differences' })).toMatchObject({ events: [], rejected: [], same: 2 });
  });

  it('differ where the filter does', async () => {
    const { session, done } = await open({ kind: 'case', folder: 'fixtures/replay/spike-storm' });
    await done();
    await session.answer({ ask: 'second', variant: { settings: { spikeK: 40 } } });
    await done();
    const { rejected } = (await session.answer({ ask: 'differences' })) as BenchDifferences;
    expect(rejected).toEqual([{ reason: 'spike', a: 46, b: expect.any(Number) as number }]);
    expect(rejected[0]?.b).toBeLessThan(46);
  });

  it('reads the signals that only the second site has', async () => {
    const { session, done } = await open({ kind: 'case', folder: 'fixtures/replay/nut-turned' });
    await done();
    const whole = session.opened.siteText;
    const plain = whole.replaceAll(', spring: { period_s: 60 }', '');
    expect(plain).not.toBe(whole);
    const path = join(folder, 'nut.csv');
    copyFileSync('fixtures/replay/nut-turned/recording.csv', path);
    const other = await open({ kind: 'file', path }, { siteText: plain });
    await other.done();
    await other.session.answer({ ask: 'second', variant: { siteText: whole, settings: {} } });
    await other.done();
    expect((await result(session)).findings.map(({ finding }) => finding)).toEqual(['nut-turned']);
    expect(((await other.session.answer({ ask: 'result', run: 'b' })) as BenchResult).findings.map(({ finding }) => finding)).toEqual([
      'nut-turned',
    ]);
  });

  it('leaves out the signals that only the first site has', async () => {
    const { session, done } = await open({ kind: 'case', folder: 'fixtures/replay/nut-turned' });
    await done();
    const whole = session.opened.siteText;
    const plain = whole.replaceAll(', spring: { period_s: 60 }', '');
    const other = await open({ kind: 'file', path: 'fixtures/replay/nut-turned/recording.csv' }, { siteText: plain });
    await other.done();
    const alone = await result(other.session);
    await session.answer({ ask: 'second', variant: { siteText: plain, settings: {} } });
    await done();
    const second = await result(session, 'b');
    const found = ({ summary, alarms, findings, days }: BenchResult) => ({ takeups: summary.takeups, alarms, findings, days });
    expect(found(second)).toEqual(found(alone));
  });

  it('refuses a site with faults in the words of the check', async () => {
    const { session, done } = await open({ kind: 'case', folder: CASE });
    await done();
    const wrong = { siteText: session.opened.siteText.replace('stroke_mm: 230', 'stroke_mm: -1'), settings: {} };
    await expect(session.answer({ ask: 'second', variant: wrong })).rejects.toThrow(/second site:\d+:\d+ .*stroke_mm/);
  });
});

describe('readings that are handed over', () => {
  it('give what their recording gives, and a stretch of them is kept as a test that passes', async () => {
    const siteText = readFileSync(join(CASE, 'site.yaml'), 'utf8');
    const serviceText = readFileSync(join(CASE, 'service.jsonl'), 'utf8');
    const { session, done } = await open({ kind: 'fed' }, { siteText, serviceText });
    for await (const batch of openRecording(join(CASE, 'recording.csv'), session.opened.signals, () => undefined)) {
      await session.answer({ ask: 'feed', columns: batch });
    }
    await session.answer({ ask: 'fed' });
    await done();
    const found = await result(session);
    expect(found.summary).toEqual(JSON.parse(readFileSync(join(CASE, 'expected', 'summary.json'), 'utf8')));
    const kept = (await session.answer({
      ...{ ask: 'keep', name: 'from-the-history', teaches: 'Kept from the bench.', into: join(folder, 'kept') },
      ...{ fromMs: found.firstMs, toMs: found.lastMs },
    })) as BenchKept;
    expect(kept.files.map(({ name }) => name)).toContain('recording.csv');
    expect(await checkCase({ name: 'kept', folder: kept.folder })).toEqual([]);
  });

  it('that are none are said to be none', async () => {
    const { session, done } = await open({ kind: 'fed' }, { siteText: readFileSync(join(CASE, 'site.yaml'), 'utf8') });
    await session.answer({ ask: 'fed' });
    expect(await done()).toMatchObject({ state: 'failed', words: 'There are no readings of this site in it.' });
  });
});

describe('a recording that cannot be used', () => {
  it('ends the session with a sentence', async () => {
    const siteText = readFileSync(join(CASE, 'site.yaml'), 'utf8');
    const { done } = await open({ kind: 'file', path: 'fixtures/recordings/refused/binary.csv' }, { siteText });
    expect(await done()).toMatchObject({ state: 'failed', words: expect.stringContaining('binary.csv') as string });
  });

  it('is counted where not one of its rows is of this site', async () => {
    const siteText = readFileSync(join(CASE, 'site.yaml'), 'utf8').replaceAll('tu1', 'tu9');
    const { done } = await open({ kind: 'file', path: 'fixtures/replay/spring-surge/recording.csv' }, { siteText });
    expect((await done()).words).toMatch(/^None of its \d+ rows is a reading of this site \(\d+ unknown-signal\); look at the names/);
  });
});

/** The slow way: the pipeline from the beginning, and its picture at the instant. */
async function stoodAt(timeMs: number): Promise<BenchMoment['takeups']> {
  const site = await siteOf(join(CASE, 'site.yaml'));
  const entries = [...(await entriesOf(join(CASE, 'service.jsonl'), site))].sort((a, b) => a.timeMs - b.timeMs);
  const pipeline = new Pipeline(site);
  const names = signalsOf(site).map(({ name }) => name);
  for await (const batch of openRecording(join(CASE, 'recording.csv'), names, () => undefined)) {
    for (let i = 0; i < batch.count && batch.timeMs[i]! <= timeMs; i++) {
      while ((entries[0]?.timeMs ?? Infinity) <= batch.timeMs[i]!) {
        const entry = entries.shift()!;
        pipeline.advance({ kind: 'service', timeMs: entry.timeMs, entry });
      }
      pipeline.read(batch.signal[i]!, batch.timeMs[i]!, batch.value[i]!, []);
    }
  }
  pipeline.advance({ kind: 'tick', timeMs });
  return pipeline.ways.flatMap((way) => way.tracks.map((_, index) => takeupNow(way, index, timeMs)));
}
