import { describe, expect, it } from 'vitest';
import { takeupNow } from '../../../agent/flow/way/snapshot.js';
import { Pipeline } from '../../../agent/pipeline.js';
import { feed, HOUR_MS, inOrder, readings, resumed, served, sides, type TestInput } from './run.js';
import { START_MS, testSite } from './test-site.js';

const SITE = testSite();
const fed = (inputs: readonly TestInput[]): Pipeline => {
  const pipeline = new Pipeline(SITE);
  feed(pipeline, inOrder(inputs));
  return pipeline;
};
const now = (pipeline: Pipeline): ReturnType<typeof takeupNow> => takeupNow(pipeline.ways[0]!, 0, pipeline.timeMs);
const hours = (count: number, mm: number, fromH = 0): TestInput[] =>
  readings(START_MS + fromH * HOUR_MS, START_MS + (fromH + count) * HOUR_MS, 10, () => sides(mm));

describe('the picture of a take-up', () => {
  it('says where it stands, and how its last settled window left the chain', () => {
    expect(now(fed(hours(2, 60)))).toMatchObject({
      conveyor: 'line',
      takeup: 'tu1',
      time: '2026-01-05T07:59:50Z',
      running: true,
      positionMm: 60,
      remainingMm: 170,
      skewMm: 0,
      settledMm: 60,
      dayRangeMm: [60, 60],
      left: { positionMm: 60, springMm: 220, forceN: 1800 },
      chain: { pitches: 3200, removedPitches: 0, provisional: false },
      service: null,
      alarms: [],
    });
  });

  it('says not settled before the first window, and never read before the first reading', () => {
    expect(now(fed(hours(0.1, 60)))).toMatchObject({
      positionMm: 60,
      settledMm: { unknown: 'not-settled' },
      chain: { elongationPct: { unknown: 'not-settled' } },
    });
    const pipeline = new Pipeline(SITE);
    expect(takeupNow(pipeline.ways[0]!, 0, START_MS)).toMatchObject({ positionMm: { unknown: 'never-read' }, dayRangeMm: null });
  });

  it('says at the stop where the carriage is: its elongation is a bound', () => {
    expect(now(fed(hours(2, 230))).chain.elongationPct).toEqual({ unknown: 'at-stop' });
  });

  it('lists the alarms that stand, with since when and what is seen', () => {
    const { alarms } = now(fed([...hours(1, 60), ...hours(1, 226, 1)]));
    expect(alarms.map(({ alarm, state }) => [alarm, state])).toEqual(expect.arrayContaining([['stroke-end', 'unacknowledged']]));
    expect(alarms.find(({ alarm }) => alarm === 'stroke-end')).toMatchObject({
      since: '2026-01-05T07:00:10Z',
      value: 4,
      limit: 11.5,
      unit: 'mm',
    });
  });

  it('says since when a service is open, and by whom', () => {
    const opened = served(SITE, START_MS + HOUR_MS / 2, { kind: 'service-opened', takeup: 'tu1', by: 'fitter' });
    expect(now(fed([...hours(1, 60), opened])).service).toEqual({ since: '2026-01-05T06:30:00Z', by: 'fitter' });
  });

  it('carries the spring in force, another one once one was replaced', () => {
    const replaced = served(SITE, START_MS + HOUR_MS / 2, {
      ...{ kind: 'spring-replaced', takeup: 'tu1', side: 'left', spring_mm: 200 },
      spring: { free_mm: 300, rate_n_per_mm: 20, solid_mm: 140, clearance_mm: 10 },
    });
    const { left, right } = now(fed([...hours(1, 60), replaced, ...hours(1, 60, 1)]));
    expect(left.spring).toEqual({ freeMm: 300, rateNPerMm: 20, solidMm: 140, clearanceMm: 10, perSide: 1 });
    expect(right.spring).toMatchObject({ freeMm: SITE.conveyors[0]?.takeups[0]?.spring.freeMm });
  });

  it('begins the range of the day anew with the day at the site', () => {
    const moved = [...hours(4, 60), ...hours(4, 90, 4), ...hours(10, 90, 8), ...hours(4, 95, 18)];
    expect(now(fed(moved)).dayRangeMm).toEqual([90, 95]);
  });

  it('is the same after a restart', () => {
    const pipeline = fed([...hours(1, 60), ...hours(30, 226, 1)]);
    expect(now(resumed(SITE, pipeline))).toEqual(now(pipeline));
  });
});
