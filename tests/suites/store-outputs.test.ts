import { describe, expect, it } from 'vitest';
import {
  day,
  entry,
  event,
  figuresOf,
  finding,
  HOUR_MS,
  minute,
  operator,
  readings,
  service,
  START_MS,
  without,
} from '../store/samples.js';
import { TWINS } from '../store/store-twins.js';

const CHECKPOINT = { seq: 0, fingerprint: 'site-a', state: '{"version":1}' };

describe.each(TWINS)('outputs in $name', ({ make }) => {
  it('come back as they were given out', async () => {
    const store = make();
    const writer = await store.writer();
    const reader = await store.reader();
    await writer.writeOutputs({ events: [event()], days: [day()], minutes: [minute()], findings: [finding()] });
    expect((await reader.alarmEvents({ limit: 10 })).events).toEqual([event()]);
    expect(await reader.settledDays('enamel', 'tu1', '2026-01-01', '2026-12-31')).toEqual([day()]);
    expect(await reader.findings({})).toEqual([finding()]);
    const { points } = await reader.minutes({
      conveyor: 'enamel',
      takeup: 'tu1',
      fromMs: START_MS,
      toMs: START_MS + HOUR_MS,
      maxPoints: 100,
    });
    expect(points).toEqual([figuresOf(minute())]);
  });

  it('keep unknown numbers unknown', async () => {
    const store = make();
    const writer = await store.writer();
    const reader = await store.reader();
    const unknownDay = day({ elongationPct: NaN, springLeftMm: NaN, flag: 'bound' });
    const noTension = { tensionN: NaN, tensionMinN: NaN, tensionMaxN: NaN };
    const unknownMinute = minute({ count: 0, minMm: NaN, maxMm: NaN, meanMm: NaN, springMinMm: NaN, ...noTension });
    const signalLost = event({ alarm: 'signal-lost', value: null, limit: null, unit: '', signal: 'enamel/running' });
    const notAMove = finding({ finding: 'skew-growing', moveMm: null });
    await writer.writeOutputs({ events: [signalLost], days: [unknownDay], minutes: [unknownMinute], findings: [notAMove] });
    expect(await reader.settledDays('enamel', 'tu1', '2026-03-02', '2026-03-02')).toEqual([unknownDay]);
    expect((await reader.alarmEvents({ limit: 1 })).events).toEqual([signalLost]);
    expect(await reader.findings({})).toEqual([notAMove]);
    const { points } = await reader.minutes({ conveyor: 'enamel', takeup: 'tu1', fromMs: START_MS, toMs: START_MS + 1, maxPoints: 2 });
    const unknown = { minMm: null, maxMm: null, meanMm: null, springMinMm: null, tensionN: null, tensionMinN: null, tensionMaxN: null };
    expect(points).toEqual([{ timeMs: START_MS, count: 0, ...unknown }]);
  });

  it('leave out what an event or finding does not have', async () => {
    const store = make();
    const writer = await store.writer();
    const ofTheConveyor = without(event({ alarm: 'agent-silent', by: 'controller', why: 'known' }), 'takeup');
    const withoutSuggestion = without(finding(), 'suggestion');
    await writer.writeOutputs({ events: [ofTheConveyor], findings: [withoutSuggestion] });
    const reader = await store.reader();
    expect((await reader.alarmEvents({ limit: 1 })).events).toEqual([ofTheConveyor]);
    expect(await reader.findings({})).toEqual([withoutSuggestion]);
  });

  it('may be written again after a crash: a known event stays as it is, the rest takes the place of the same', async () => {
    const store = make();
    const writer = await store.writer();
    const first = { events: [event()], days: [day()], minutes: [minute()], findings: [finding()] };
    expect(await writer.writeOutputs(first)).toEqual(['event-a']);
    expect(await writer.writeOutputs({ events: [event({ value: 1 }), event({ id: 'event-b' })] })).toEqual(['event-b']);
    await writer.writeOutputs({
      days: [day({ windows: 90 })],
      minutes: [minute({ count: 121 })],
      findings: [finding({ text: 'Explained.' })],
    });
    const reader = await store.reader();
    expect((await reader.alarmEvents({ limit: 10 })).events).toEqual([event({ id: 'event-b' }), event()]);
    expect(await reader.settledDays('enamel', 'tu1', '2026-03-02', '2026-03-02')).toEqual([day({ windows: 90 })]);
    expect(await reader.findings({})).toEqual([finding({ text: 'Explained.' })]);
    const year = await reader.minutes({
      conveyor: 'enamel',
      takeup: 'tu1',
      fromMs: START_MS,
      toMs: START_MS + 365 * 24 * HOUR_MS,
      maxPoints: 100,
    });
    expect(year.points).toMatchObject([{ count: 121 }]);
  });

  it('are told apart by take-up and conveyor', async () => {
    const store = make();
    const writer = await store.writer();
    await writer.writeOutputs({ days: [day(), day({ takeup: 'tu2', positionMm: 90 }), day({ conveyor: 'paint', positionMm: 120 })] });
    const reader = await store.reader();
    expect(await reader.settledDays('paint', 'tu1', '2026-03-02', '2026-03-02')).toEqual([day({ conveyor: 'paint', positionMm: 120 })]);
    expect(await reader.settledDays('paint', 'tu2', '2026-03-02', '2026-03-02')).toEqual([]);
  });

  it('give days in order, both ends of the range included', async () => {
    const store = make();
    const writer = await store.writer();
    const dates = ['2026-03-04', '2026-03-01', '2026-03-03', '2026-03-02'];
    await writer.writeOutputs({ days: dates.map((date) => day({ date })) });
    const reader = await store.reader();
    const found = await reader.settledDays('enamel', 'tu1', '2026-03-02', '2026-03-04');
    expect(found.map(({ date }) => date)).toEqual(['2026-03-02', '2026-03-03', '2026-03-04']);
  });

  it('are seen by a reader that was there before them', async () => {
    const store = make();
    const writer = await store.writer();
    const reader = await store.reader();
    expect(await reader.findings({})).toEqual([]);
    await writer.writeOutputs({ findings: [finding()] });
    expect(await reader.findings({})).toHaveLength(1);
    expect(await reader.diskBytes()).toBeGreaterThan(0);
  });

  describe('with a checkpoint', () => {
    it('have none at first, and the last one then, with the site that it is of', async () => {
      const store = make();
      const before = await store.writer(['running']);
      expect(await before.loadCheckpoint()).toBeUndefined();
      await before.writeOutputs({ checkpoint: CHECKPOINT });
      await before.appendReadings(readings([0, START_MS, 1]));
      await before.writeOutputs({ checkpoint: { seq: 1, fingerprint: 'site-b', state: '{"version":1,"nowMs":5}' } });
      await before.stop();
      const after = await store.writer();
      expect(await after.loadCheckpoint()).toEqual({ seq: 1, fingerprint: 'site-b', state: '{"version":1,"nowMs":5}' });
    });

    it('are written with it or not at all', async () => {
      const store = make();
      const writer = await store.writer();
      const broken = finding({ text: undefined as unknown as string });
      await expect(writer.writeOutputs({ events: [event()], findings: [broken], checkpoint: CHECKPOINT })).rejects.toThrow();
      const reader = await store.reader();
      expect((await reader.alarmEvents({ limit: 1 })).total).toBe(0);
      expect(await writer.loadCheckpoint()).toBeUndefined();
      expect(await writer.writeOutputs({ events: [event()], days: [day()], checkpoint: CHECKPOINT })).toEqual(['event-a']);
      expect(await writer.loadCheckpoint()).toEqual(CHECKPOINT);
    });

    it('have its parts by name, those of the last checkpoint alone, asked for one after the other', async () => {
      const store = make();
      const before = await store.writer();
      await before.writeOutputs({ checkpoint: { ...CHECKPOINT, parts: [['dryer', '1'] as const, ['enamel', '1'] as const] } });
      const asked: string[] = [];
      const parts = (function* () {
        for (const name of ['enamel', 'washer']) {
          asked.push(name);
          yield [name, '2'] as const;
        }
      })();
      await before.writeOutputs({ checkpoint: { ...CHECKPOINT, parts } });
      await before.stop();
      const after = await store.writer();
      expect(asked).toEqual(['enamel', 'washer']);
      expect(await Promise.all(['dryer', 'enamel', 'washer'].map((name) => after.loadCheckpointPart(name)))).toEqual([undefined, '2', '2']);
    });

    it('keep the parts of the checkpoint before where one of this one’s cannot be made', async () => {
      const writer = await make().writer();
      await writer.writeOutputs({
        checkpoint: {
          ...CHECKPOINT,
          parts: [
            ['dryer', '1'],
            ['enamel', '1'],
          ],
        },
      });
      const parts = (function* () {
        yield ['dryer', '2'] as const;
        throw new Error('half way');
      })();
      await expect(writer.writeOutputs({ days: [day()], checkpoint: { ...CHECKPOINT, fingerprint: 'later', parts } })).rejects.toThrow(
        'half way',
      );
      expect(await writer.loadCheckpoint()).toEqual(CHECKPOINT);
      expect(await writer.loadCheckpointPart('dryer')).toBe('1');
    });

    it('refuse one that covers more than was journalled', async () => {
      const writer = await make().writer();
      await expect(writer.writeOutputs({ checkpoint: { ...CHECKPOINT, seq: 1 } })).rejects.toThrow(RangeError);
    });
  });

  describe('findings', () => {
    it('are found by take-up, kind and the time when they became known, the latest first', async () => {
      const store = make();
      const writer = await store.writer();
      const a = finding({ id: 'a', timeMs: START_MS });
      const b = finding({ id: 'b', timeMs: START_MS + 1, finding: 'nut-turned' });
      const c = finding({ id: 'c', timeMs: START_MS + 2, takeup: 'tu2' });
      await writer.writeOutputs({ findings: [a, b, c] });
      const reader = await store.reader();
      expect(await reader.findings({})).toEqual([c, b, a]);
      expect(await reader.findings({ conveyor: 'enamel', takeup: 'tu1' })).toEqual([b, a]);
      expect(await reader.findings({ findings: ['nut-turned'] })).toEqual([b]);
      expect(await reader.findings({ fromMs: START_MS, toMs: START_MS + 2 })).toEqual([b, a]);
    });
  });

  describe('the service log', () => {
    it('lists entries by the time of the work, a take-up among those of its whole conveyor', async () => {
      const store = make();
      const writer = await store.writer();
      const ofTheConveyor = without(entry({ id: 'whole', kind: 'lubricated', timeMs: START_MS + 2 }), 'takeup');
      const whole = { kind: 'service', timeMs: START_MS + HOUR_MS, entry: ofTheConveyor } as const;
      const late = service({ id: 'late', timeMs: START_MS + HOUR_MS });
      const other = service({ id: 'other', timeMs: START_MS + 1, takeup: 'tu2' });
      const paint = service({ id: 'paint', conveyor: 'paint' });
      const early = service({ id: 'early', timeMs: START_MS - HOUR_MS });
      for (const input of [late, other, whole, paint, early, operator('request-a')]) await writer.appendInput(input);
      const reader = await store.reader();
      const ids = async (...of: string[]) => (await reader.entries(...of)).map(({ id }) => id);
      expect(await ids()).toEqual(['early', 'paint', 'other', 'whole', 'late']);
      expect(await ids('enamel')).toEqual(['early', 'other', 'whole', 'late']);
      expect(await ids('enamel', 'tu1')).toEqual(['early', 'whole', 'late']);
      expect((await reader.entries('enamel', 'tu1'))[1]).toEqual({ ...ofTheConveyor, takenMs: START_MS + HOUR_MS });
    });
  });

  describe('site versions', () => {
    it('are kept one by one; the same text again is none', async () => {
      const store = make();
      const writer = await store.writer();
      expect(await writer.recordSite({ timeMs: START_MS, text: 'site: {}' })).toBe(true);
      expect(await writer.recordSite({ timeMs: START_MS + 1, text: 'site: {}' })).toBe(false);
      expect(await writer.recordSite({ timeMs: START_MS + 2, by: 'engineer', why: 'tried', text: 'site: { id: a }' })).toBe(true);
      expect(await writer.recordSite({ timeMs: START_MS + 3, by: 'engineer', text: 'site: {}' })).toBe(true);
      const reader = await store.reader();
      const heads = await reader.siteVersions();
      expect(heads.map(({ timeMs, by, why }) => [timeMs, by, why])).toEqual([
        [START_MS + 3, 'engineer', undefined],
        [START_MS + 2, 'engineer', 'tried'],
        [START_MS, undefined, undefined],
      ]);
      expect(await reader.siteVersion(heads[1]!.nr)).toEqual({
        timeMs: START_MS + 2,
        by: 'engineer',
        why: 'tried',
        text: 'site: { id: a }',
      });
      expect(await reader.siteVersion(99)).toBeUndefined();
    });
  });
});
