import { describe, expect, it } from 'vitest';
import type { TakeupNow } from '../agent/contract/messages.js';
import { takeupNow } from '../agent/flow/way/snapshot.js';
import { Pipeline } from '../agent/pipeline.js';
import type { Site } from '../agent/site/site.js';
import { feed, HOUR_MS, MINUTE_MS, readings, run, served, sides, told, type TestInput } from './flow/way/run.js';
import { side, START_MS, testSite } from './flow/way/test-site.js';

const SITE = testSite();
const at = (seconds: number): number => START_MS + seconds * 1000;
const LEFT = 'line/tu1/left/position';
const RIGHT = 'line/tu1/right/position';

/** Readings once in ten seconds from one second on and before another. */
const every10 = (from: number, until: number, read: (timeMs: number) => Record<string, number>): TestInput[] =>
  readings(at(from), at(until), 10, read);

/** The picture of the take-up after some inputs. */
function pictured(site: Site, inputs: readonly TestInput[], nowMs: number): TakeupNow {
  const pipeline = new Pipeline(site);
  feed(pipeline, inputs);
  pipeline.advance({ kind: 'tick', timeMs: nowMs });
  return takeupNow(pipeline.ways[0]!, 0, nowMs);
}

describe('a sensor that falls silent', () => {
  // Period 10 s: lost after 100 s.
  const inputs = [...every10(0, 600, () => sides(60)), ...every10(600, 1200, () => ({ [RIGHT]: 60 }))];

  it('is lost exactly ten periods after its last reading, though nothing was read at that moment', () => {
    expect(told(run(SITE, [...inputs, { kind: 'tick', timeMs: at(690) + 3 }]).alarms)).toEqual(['2026-01-05T06:11:30Z signal-lost raised']);
    expect(run(SITE, inputs).alarms).toMatchObject([
      { timeMs: at(590) + 100_000, takeup: 'tu1', side: 'left', signal: LEFT, value: 100, limit: 100, unit: 's', priority: 'medium' },
    ]);
  });

  it('leaves unknown what it feeds, never its last value, and says why', () => {
    const lost = { unknown: 'signal-lost' };
    const now = pictured(SITE, inputs, at(1200));
    expect(now).toMatchObject({
      positionMm: lost,
      remainingMm: lost,
      skewMm: lost,
      carriageForceN: lost,
      strandTensionN: lost,
      marginToSolidMm: lost,
    });
    expect(now.left).toMatchObject({ positionMm: lost, springMm: lost, forceN: lost });
    expect(now.right).toMatchObject({ positionMm: 60, springMm: 220, forceN: 1800 });
    expect(pictured(SITE, inputs.slice(0, 120), at(600))).toMatchObject({ positionMm: 60, remainingMm: 170, strandTensionN: 1800 });
  });

  it('is found with its third reading', () => {
    const found = run(SITE, [...inputs, ...every10(1200, 1300, () => sides(60))]);
    expect(found.alarms.at(-1)).toMatchObject({ alarm: 'signal-lost', change: 'cleared', timeMs: at(1220) });
  });

  it('has its last readings judged with the neighbours there are', () => {
    // The last three waited for readings that do not come; the surge in them is not lost with them.
    const surge = every10(0, 600, (timeMs) => sides(timeMs >= at(580) ? 225 : 60));
    const minutes = run(SITE, [...surge, { kind: 'tick', timeMs: at(900) }]).outputs.filter((output) => output.kind === 'minute');
    expect(minutes.at(-1)).toMatchObject({ timeMs: at(540), maxMm: 225 });
  });
});

describe('a sensor that never spoke', () => {
  it('is waited for since the first reading of any, and was never read', () => {
    const inputs = every10(0, 300, () => ({ [RIGHT]: 60 }));
    expect(told(run(SITE, inputs).alarms)).toEqual(['2026-01-05T06:01:40Z signal-lost raised']);
    expect(pictured(SITE, inputs, at(300)).positionMm).toEqual({ unknown: 'never-read' });
  });
});

describe('an alarm that is up', () => {
  const end = [...every10(0, 120, () => sides(60)), ...every10(120, 300, () => sides(226))];
  const raised = run(SITE, end).alarms;

  it('was raised at its limit', () => {
    expect(told(raised)).toContain('2026-01-05T06:02:10Z stroke-end raised');
  });

  it('does not clear while its sensor is silent or fails, and does when it reads well again', () => {
    const silent = every10(300, 3600, () => ({}));
    const failing = every10(3600, 4000, () => sides(NaN));
    const kept = run(SITE, [...end, ...silent, ...failing]);
    expect(kept.alarms.filter(({ alarm, change }) => alarm === 'stroke-end' && change === 'cleared')).toEqual([]);
    const back = run(SITE, [...end, ...silent, ...failing, ...every10(4000, 4400, () => sides(60))]);
    const cleared = back.alarms.filter(({ alarm, change }) => alarm === 'stroke-end' && change === 'cleared');
    expect(cleared).toHaveLength(1);
    expect(cleared[0]!.timeMs).toBeGreaterThanOrEqual(at(4020));
  });

  it('does not rise out of readings on both sides of a silence', () => {
    // Nine of the ten seconds that the end of the stroke must last lie before the silence.
    const short = [...every10(0, 120, () => sides(60)), ...every10(120, 130, () => sides(226)), ...every10(400, 410, () => sides(226))];
    expect(run(SITE, [...short, { kind: 'tick', timeMs: at(900) }]).alarms.filter(({ alarm }) => alarm === 'stroke-end')).toEqual([]);
  });
});

describe('a current loop', () => {
  const loop = testSite({ position: { unit: 'mA', scale: { from: [4, 20], to: [0, 160] } } });
  const current = (mm: number): number => 4 + mm / 10;
  const good = every10(0, 300, () => sides(current(60)));

  it('below 3.6 mA is a fault with its third reading, told with the current it gave, and well again with the third good one', () => {
    const { alarms, outputs } = run(loop, [
      ...good,
      ...every10(300, 400, () => ({ [LEFT]: 3.5, [RIGHT]: current(60) })),
      ...every10(400, 500, () => sides(current(60))),
    ]);
    expect(alarms).toMatchObject([
      { alarm: 'signal-fault', change: 'raised', timeMs: at(320), side: 'left', value: 3.5, unit: 'mA' },
      { alarm: 'signal-fault', change: 'cleared', timeMs: at(420) },
    ]);
    expect(outputs.filter((output) => output.kind === 'reject')).toHaveLength(10);
  });

  it('between 3.6 and 3.8 mA holds the last position, counts as not used, and is no fault', () => {
    const inputs = [...good, ...every10(300, 400, () => sides(3.7))];
    const { alarms, outputs } = run(loop, inputs);
    expect(alarms).toEqual([]);
    expect(outputs.filter((output) => output.kind === 'reject' && output.reason === 'out-of-range')).toHaveLength(20);
    expect(pictured(loop, inputs, at(400)).positionMm).toBe(60);
  });
});

describe('a payload that is no number', () => {
  it('once in a while changes nothing', () => {
    const inputs = every10(0, 3600, (timeMs) => sides(60 + 5 * Math.sin(timeMs / 60_000)));
    const some = inputs.filter((_, i) => i % 5 === 0).map((input) => ({ ...input, timeMs: input.timeMs + 1, raw: NaN }) as TestInput);
    expect(run(SITE, [...inputs, ...some]).outputs).toEqual(run(SITE, inputs).outputs);
  });

  it('three times in a row is a fault, and no figure has it', () => {
    const inputs = [...every10(0, 300, () => sides(60)), ...every10(300, 600, () => ({ [LEFT]: NaN, [RIGHT]: 60 }))];
    expect(run(SITE, inputs).alarms).toMatchObject([{ alarm: 'signal-fault', change: 'raised', value: null, timeMs: at(320) }]);
    expect(pictured(SITE, inputs, at(600)).positionMm).toEqual({ unknown: 'signal-fault' });
  });
});

describe('a running signal', () => {
  const site = testSite({ conveyor: { signals: { running: { period_s: 10 } } } });
  const hour = (from: number, state: Record<string, number>): TestInput[] => every10(from, from + 3600, () => ({ ...state, ...sides(60) }));
  const windows = (inputs: readonly TestInput[]): number => run(site, inputs).days.reduce((sum, day) => sum + day.windows, 0);

  it('that is lost lets no window settle, nor anything be judged that needs running', () => {
    expect(windows(hour(0, { 'line/running': 1 }))).toBeGreaterThanOrEqual(5);
    expect(windows(hour(0, {}))).toBe(0);
    const slack = every10(0, 3600, () => sides(150));
    expect(run(site, slack).alarms.map(({ alarm }) => alarm)).toEqual(['signal-lost']);
    expect(pictured(site, slack, at(3600)).running).toBeNull();
    expect(
      run(
        site,
        every10(0, 3600, () => ({ 'line/running': 1, ...sides(150) })),
      ).alarms.map(({ alarm }) => alarm),
    ).toEqual(['spring-slack']);
  });

  it('that is lost is a low alarm of the conveyor, and holds its last value until then', () => {
    const inputs = [...every10(0, 60, () => ({ 'line/running': 1, ...sides(60) })), ...every10(60, 600, () => sides(60))];
    expect(run(site, inputs).alarms).toMatchObject([{ alarm: 'signal-lost', priority: 'low', signal: 'line/running', timeMs: at(150) }]);
    expect(
      pictured(
        site,
        inputs.filter(({ timeMs }) => timeMs < at(140)),
        at(140),
      ).running,
    ).toBe(true);
  });
});

describe('a temperature that is lost', () => {
  const site = testSite({ conveyor: { zones: [{ id: 'furnace', length_mm: 60_000, reference_c: 20, temperature: { period_s: 10 } }] } });

  it('leaves the elongation of its windows unknown, and that of the day to the windows that know it', () => {
    const hot = (timeMs: number): Record<string, number> => ({
      ...sides(60),
      ...(timeMs < at(7200) ? { 'line/furnace/temperature': 20 } : {}),
    });
    const half = run(site, every10(0, 4 * 3600, hot)).days[0]!;
    const whole = run(site, every10(0, 7200, hot)).days[0]!;
    expect(half.elongationPct).toBe(whole.elongationPct);
    expect(half.windows).toBeGreaterThan(whole.windows);
    const never = run(
      site,
      every10(0, 7200, () => sides(60)),
    );
    expect(never.days).toMatchObject([{ elongationPct: NaN, thermalMm: NaN, positionMm: 60 }]);
    expect(never.alarms).toMatchObject([{ alarm: 'signal-lost', signal: 'line/furnace/temperature', priority: 'low' }]);
  });
});

describe('a spring with a sensor of its own', () => {
  const site = testSite({
    takeup: {
      sides: { left: side({ position: { period_s: 10 }, spring: { period_s: 10 } }), right: side({ position: { period_s: 10 } }) },
    },
  });
  const reads = (springMm: number) => (): Record<string, number> => ({ ...sides(60), 'line/tu1/left/spring': springMm });

  it('raises by its own length, not by what the carriage would make of it', () => {
    const { alarms } = run(site, [...every10(0, 300, reads(220)), ...every10(300, 600, reads(155))]);
    expect(alarms.map(({ alarm, side: name }) => [alarm, name])).toEqual([['spring-near-solid', 'left']]);
  });

  it('that is lost is a low alarm, leaves force and tension unknown, and the position as it is', () => {
    const inputs = [...every10(0, 300, reads(220)), ...every10(300, 900, () => sides(60))];
    expect(run(site, inputs).alarms).toMatchObject([
      { alarm: 'signal-lost', side: 'left', signal: 'line/tu1/left/spring', priority: 'low' },
    ]);
    expect(pictured(site, inputs, at(900))).toMatchObject({
      positionMm: 60,
      strandTensionN: { unknown: 'signal-lost' },
      carriageForceN: { unknown: 'signal-lost' },
    });
  });
});

describe('an open service', () => {
  it('lets signal alarms through and holds all others of its take-up, which rise when it is closed', () => {
    const inputs = [
      ...every10(0, 120, () => sides(60)),
      ...every10(120, 3600, () => sides(226)),
      ...every10(3600, 7200, () => ({ [RIGHT]: 226 })),
    ];
    const { alarms } = run(SITE, [
      ...inputs,
      served(SITE, at(100), { kind: 'service-opened', takeup: 'tu1' }),
      served(SITE, at(1800), { kind: 'service-closed', takeup: 'tu1' }),
    ]);
    const before = alarms.filter(({ timeMs }) => timeMs < at(1800));
    expect(before.map(({ alarm, change, from }) => [alarm, change, from])).toEqual([
      ['stroke-end', 'suppressed', 'normal'],
      ['spring-slack', 'suppressed', 'normal'],
      ['stroke-low', 'suppressed', 'normal'],
    ]);
    expect(alarms.find(({ alarm, change }) => alarm === 'stroke-end' && change === 'raised')).toMatchObject({
      timeMs: expect.closeTo(at(1800), -5) as number,
    });
    const open = run(SITE, [...inputs, served(SITE, at(100), { kind: 'service-opened' })]);
    expect(open.alarms.filter(({ change }) => change === 'raised').map(({ alarm }) => alarm)).toEqual(['signal-lost']);
  });
});

describe('an entry from before the first reading', () => {
  it('is known from the start, and starts no clock', () => {
    const cut = served(SITE, START_MS - 5 * HOUR_MS, { kind: 'chain-removed', pitches: 2 });
    const { days, alarms } = run(SITE, [cut, ...every10(0, 3600, () => sides(60))]);
    expect(days).toMatchObject([{ pitches: 3198 }]);
    expect(alarms).toEqual([]);
  });
});

describe('the taking of an alarm', () => {
  it('is an event with who and when, and leaves the condition as it is', () => {
    const take: TestInput = {
      kind: 'acknowledge',
      timeMs: at(300),
      conveyor: 'line',
      takeup: 'tu1',
      alarm: 'stroke-end',
      by: 'shift lead',
    };
    const { alarms } = run(SITE, [
      ...every10(0, 120, () => sides(60)),
      ...every10(120, 600, () => sides(226)),
      take,
      ...every10(600, 900, () => sides(60)),
    ]);
    expect(alarms.filter(({ alarm }) => alarm === 'stroke-end').map(({ change, from, to, by }) => [change, from, to, by])).toEqual([
      ['raised', 'normal', 'unacknowledged', undefined],
      ['acknowledged', 'unacknowledged', 'acknowledged', 'shift lead'],
      ['cleared', 'acknowledged', 'normal', undefined],
    ]);
    expect(alarms.find(({ change }) => change === 'cleared')!.timeMs - at(600)).toBeLessThan(5 * MINUTE_MS);
  });
});
