import { describe, expect, it, test } from 'vitest';
import { LocalDays } from '../agent/units/local-day.js';
import { HOUR_MS, MINUTE_MS, readings, run, sides, type TestInput } from './flow/way/run.js';
import { START_MS, testSite } from './flow/way/test-site.js';

const SITE = testSite({ conveyor: { signals: { running: { period_s: 10 } } } });
const at = (minutes: number): number => START_MS + minutes * MINUTE_MS;

/** Readings once in ten seconds of a conveyor that stands in some stretches of minutes. */
function shift(
  untilMin: number,
  position: (minute: number) => number,
  stops: readonly (readonly [from: number, until: number])[] = [],
): TestInput[] {
  return readings(at(0), at(untilMin), 10, (timeMs) => {
    const minute = (timeMs - START_MS) / MINUTE_MS;
    const stands = stops.some(([from, until]) => minute >= from && minute < until);
    return { 'line/running': stands ? 0 : 1, ...sides(position(minute)) };
  });
}

const windowsOf = (inputs: readonly TestInput[]): number => run(SITE, inputs).days.reduce((sum, day) => sum + day.windows, 0);

describe('settled windows', () => {
  it('follow one another while the conveyor runs, ten minutes each', () => {
    // The first minute of running that was seen may follow a stop, and ten minutes end with a reading: 1 + 10 minutes, then one each 610 s.
    expect(windowsOf(shift(11, () => 60))).toBe(0);
    expect(windowsOf(shift(12, () => 60))).toBe(1);
    expect(windowsOf(shift(61 * 4 + 2, () => 60))).toBe(24);
  });

  it('hold nothing of standing time: a relaxed chain says nothing of a running one', () => {
    const relaxed = shift(240, (minute) => (minute >= 120 ? 75 : 60), [[120, 240]]);
    const { days } = run(SITE, relaxed);
    expect(days).toMatchObject([{ positionMm: 60, breathingMm: 0 }]);
    expect(windowsOf(relaxed)).toBe(windowsOf(shift(120, () => 60)));
  });

  it('go on after a short stop with what was gathered before, and begin anew after a long one', () => {
    // Nine minutes of running, a stop, four minutes of running: the first minute of each does not count after a minute of standing.
    const around = (stop: number): number => windowsOf(shift(13 + stop, () => 60, [[9, 9 + stop]]));
    expect(around(0.5)).toBe(1);
    expect(around(4)).toBe(1);
    expect(around(5)).toBe(0);
    expect(around(60)).toBe(0);
  });

  it('leave out the first minute after a stop of a minute or more, in which the chain finds its tension', () => {
    const settling = (minute: number): number => (minute >= 60 && minute < 61 ? 90 : 60);
    const { days } = run(SITE, shift(72, settling, [[50, 60]]));
    expect(days[0]!.windows).toBe(5);
    expect(days[0]!.breathingMm).toBe(0);
  });

  it('with a jump in them are dropped', () => {
    // The third window has the jump in its middle.
    const jump = shift(62, (minute) => (minute < 25 ? 60 : 66));
    const { days } = run(SITE, jump);
    expect(days[0]!.windows).toBe(windowsOf(shift(62, () => 60)) - 1);
  });

  it('do not bridge a silence of the sensor', () => {
    const silent = [
      ...shift(8, () => 60),
      ...readings(at(8), at(20), 10, () => ({ 'line/running': 1 })),
      ...shift(29, () => 60).filter(({ timeMs }) => timeMs >= at(20)),
    ];
    expect(windowsOf(silent)).toBe(0);
    expect(windowsOf([...silent, ...shift(32, () => 60).filter(({ timeMs }) => timeMs >= at(29))])).toBe(1);
  });

  it('are fifteen readings long where these come once a minute', () => {
    const slow = testSite({ position: { period_s: 60 } });
    const days = run(
      slow,
      readings(at(0), at(121), 60, () => sides(60)),
    ).days;
    expect(days[0]!.windows).toBe(8);
  });
});

describe('the breathing', () => {
  it('is the 5–95 % range of the carriage over its windows, spikes left out', () => {
    // 5–95 % of a sine of amplitude a: 2·a·sin(0.45·π).
    const breath = (minute: number): number => 60 + 3 * Math.sin((2 * Math.PI * minute) / 2.3);
    const clean = run(SITE, shift(300, breath)).days[0]!;
    expect(clean.breathingMm).toBeCloseTo(2 * 3 * Math.sin(0.45 * Math.PI), 1);
    const spikes = shift(300, breath).map((input, i): TestInput =>
      input.kind === 'reading' && input.signal !== 'line/running' && i % 151 === 0 ? { ...input, raw: input.raw + 120 } : input,
    );
    const spiked = run(SITE, spikes);
    expect(spiked.outputs.filter((output) => output.kind === 'reject' && output.reason === 'spike').length).toBeGreaterThan(20);
    expect(spiked.days[0]!.breathingMm).toBeCloseTo(clean.breathingMm, 1);
  });
});

describe('a day', () => {
  const always = (timezone: string): ReturnType<typeof testSite> => testSite({ timezone, position: { period_s: 60 } });

  test.each([
    ['2026-03-28', 24],
    ['2026-03-29', 23],
    ['2026-03-30', 24],
    ['2026-10-24', 24],
    ['2026-10-25', 25],
    ['2026-10-26', 24],
  ])('of %s in Oslo has the windows of %d hours', (date, hours) => {
    const { startMs, endMs } = new LocalDays('Europe/Oslo').of(Date.parse(`${date}T11:00:00Z`));
    expect(endMs - startMs).toBe(hours * HOUR_MS);
    const { days } = run(
      always('Europe/Oslo'),
      readings(startMs - 6 * HOUR_MS, endMs + 6 * HOUR_MS, 60, () => sides(60)),
    );
    expect(days).toHaveLength(3);
    // Four windows of fifteen readings an hour.
    expect(days[1]).toMatchObject({ date, windows: hours * 4 });
  });

  test.each([
    ['Europe/Oslo', ['2026-01-05', '2026-01-06']],
    ['America/Chicago', ['2026-01-05']],
    ['Pacific/Auckland', ['2026-01-05', '2026-01-06']],
    ['UTC', ['2026-01-05', '2026-01-06']],
  ])('begins and ends by the wall clock in %s', (timezone, dates) => {
    // 06:00 UTC on 5 January for 20 hours: from 00:00 to 20:00 in Chicago, from 19:00 to 15:00 in Auckland.
    const { days } = run(
      always(timezone),
      readings(START_MS, START_MS + 20 * HOUR_MS, 60, () => sides(60)),
    );
    expect(days.map(({ date }) => date)).toEqual(dates);
    const [first] = days;
    const { endMs } = new LocalDays(timezone).of(START_MS);
    // Four windows of fifteen readings an hour, as far as they end within the day.
    expect(first!.windows).toBe(Math.floor(Math.min(20 * HOUR_MS, endMs - START_MS) / (15 * MINUTE_MS)));
  });

  it('is given out a quarter of an hour after its end, when its last readings have been judged', () => {
    const midnight = new LocalDays('Europe/Oslo').of(START_MS).endMs;
    const inputs = readings(START_MS, midnight, 60, () => sides(60));
    const until = (timeMs: number): number =>
      run(always('Europe/Oslo'), [...inputs, { kind: 'tick', timeMs }]).pipeline.ways[0]!.account.dueMs;
    expect(until(midnight + 899_000)).toBe(midnight + 900_000);
    expect(until(midnight + 900_000)).toBe(midnight + 24 * HOUR_MS + 900_000);
  });

  it('is not walked to one by one by a stray reading thousands of years ahead', () => {
    const inputs = readings(START_MS, START_MS + 3 * 24 * HOUR_MS, 60, () => sides(60));
    const stray: TestInput = { kind: 'reading', timeMs: Date.parse('9999-12-31T00:00:00Z'), signal: 'line/tu1/left/position', raw: 60 };
    const strayed = run(always('Europe/Oslo'), [...inputs, stray]);
    expect(strayed.days).toEqual(run(always('Europe/Oslo'), inputs).days);
  });

  it('begins anew after months of silence', () => {
    const later = START_MS + 200 * 24 * HOUR_MS;
    const inputs = [START_MS, later].flatMap((fromMs) => readings(fromMs, fromMs + 30 * HOUR_MS, 60, () => sides(60)));
    expect(run(always('UTC'), inputs).days.map(({ date }) => date)).toEqual(['2026-01-05', '2026-01-06', '2026-07-24', '2026-07-25']);
  });

  it('with no settled window has no row', () => {
    expect(
      run(
        SITE,
        shift(600, () => 60, [[0, 600]]),
      ).days,
    ).toEqual([]);
  });

  it('spent at a stop of the carriage has a bound, not a value', () => {
    const { days } = run(
      SITE,
      shift(60, () => 230),
    );
    expect(days).toMatchObject([{ positionMm: 230, flag: 'bound' }]);
  });
});
