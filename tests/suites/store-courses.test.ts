import { describe, expect, it } from 'vitest';
import type { TemperatureOutput } from '../../agent/flow/output.js';
import { HOUR_MS, minute, MINUTE_MS, START_MS } from '../store/samples.js';
import { TWINS } from '../store/store-twins.js';

const DAY_MS = 24 * HOUR_MS;
const FURNACE = 'enamel/furnace/temperature';

function warm(over: Partial<TemperatureOutput> = {}): TemperatureOutput {
  return {
    ...{ kind: 'temperature', conveyor: 'enamel', signal: FURNACE, timeMs: START_MS, count: 6 },
    ...{ minC: 180, maxC: 186, meanC: 183, chainC: NaN },
    ...over,
  };
}

const turn = (timeMs: number, running: number) => ({ kind: 'running', conveyor: 'enamel', timeMs, running }) as const;
const TAKEUP = { conveyor: 'enamel', takeup: 'tu1' };
const COURSE = { conveyor: 'enamel', temperatures: [FURNACE], fromMs: START_MS, toMs: START_MS + HOUR_MS, widthMs: MINUTE_MS };

describe.each(TWINS)('what a conveyor did, in $name', ({ make }) => {
  it('has temperatures minute by minute, with a gap where none was read', async () => {
    const store = make();
    const writer = await store.writer();
    const at = (place: number, over: Partial<TemperatureOutput> = {}) => warm({ timeMs: START_MS + place * MINUTE_MS, ...over });
    await writer.writeOutputs({ temperatures: [at(0), at(1, { chainC: 150.5 }), at(2), at(9)] });
    const { temperatures } = await (await store.reader()).conveyorCourse(COURSE);
    expect(temperatures).toEqual([
      {
        signal: FURNACE,
        timeMs: [0, 1, 2, 3, 9].map((place) => START_MS + place * MINUTE_MS),
        count: [6, 6, 6, 0, 6],
        minC: [180, 180, 180, null, 180],
        maxC: [186, 186, 186, null, 186],
        meanC: [183, 183, 183, null, 183],
        chainC: [null, 150.5, null, null, null],
      },
    ]);
  });

  it('keeps the hottest minute in a view of a year', async () => {
    const store = make();
    const writer = await store.writer();
    const hours = Array.from({ length: 365 * 24 }, (_, i) => warm({ timeMs: START_MS + i * HOUR_MS }));
    hours[4000] = warm({ timeMs: START_MS + 4000 * HOUR_MS, maxC: 231.5 });
    await writer.writeOutputs({ temperatures: hours });
    const year = { ...COURSE, toMs: START_MS + 365 * DAY_MS, widthMs: DAY_MS };
    const { temperatures } = await (await store.reader()).conveyorCourse(year);
    expect(temperatures[0]?.timeMs.length).toBe(366);
    expect(temperatures[0]?.maxC.filter((warmest) => warmest === 231.5)).toHaveLength(1);
    expect(temperatures[0]?.meanC[100]).toBeCloseTo(183, 9);
  });

  it('shows which share of each point it ran and stood, and what is not known as neither', async () => {
    const store = make();
    const writer = await store.writer();
    const at = (minutes: number): number => START_MS + minutes * MINUTE_MS;
    await writer.writeOutputs({
      minutes: Array.from({ length: 9 }, (_, i) => minute({ timeMs: at(i) })),
      runs: [turn(at(-30), 1), turn(at(1.5), 0), turn(at(4), NaN), turn(at(5), 1)],
    });
    const query = { ...COURSE, toMs: at(10) };
    const { running } = await (await store.reader()).conveyorCourse(query);
    expect(running).toMatchObject({ fromMs: START_MS, widthMs: MINUTE_MS });
    expect(running.ran).toEqual([1, 0.5, 0, 0, 0, 1, 1, 1, 1, 0]);
    expect(running.stood).toEqual([0, 0.5, 1, 1, 0, 0, 0, 0, 0, 0]);
  });

  it('does not go on running after the last that was heard of the conveyor', async () => {
    const store = make();
    const writer = await store.writer();
    await writer.writeOutputs({ minutes: [minute()], runs: [turn(START_MS - HOUR_MS, 1)] });
    const { running } = await (await store.reader()).conveyorCourse({ ...COURSE, widthMs: 2 * MINUTE_MS });
    expect(running.ran.slice(0, 3)).toEqual([0.5, 0, 0]);
  });

  it('tells a stop of a minute in a view of a month', async () => {
    const store = make();
    const writer = await store.writer();
    const [fromMs, toMs] = [START_MS, START_MS + 30 * DAY_MS];
    const stop = START_MS + 11 * DAY_MS;
    await writer.writeOutputs({ minutes: [minute({ timeMs: toMs })], runs: [turn(fromMs, 1), turn(stop, 0), turn(stop + MINUTE_MS, 1)] });
    const { running } = await (await store.reader()).conveyorCourse({ ...COURSE, fromMs, toMs, widthMs: HOUR_MS });
    expect(running.stood.filter((share) => share > 0)).toEqual([0.0167]);
  });

  it('has the extremes of the tension, in a view of a year too', async () => {
    const store = make();
    const writer = await store.writer();
    const hours = Array.from({ length: 365 * 24 }, (_, i) => minute({ timeMs: START_MS + i * HOUR_MS }));
    hours[7000] = minute({ timeMs: START_MS + 7000 * HOUR_MS, tensionMinN: 12, tensionMaxN: 3300 });
    await writer.writeOutputs({ minutes: hours });
    const series = await (await store.reader()).positionSeries({ ...TAKEUP, fromMs: START_MS, toMs: START_MS + 365 * DAY_MS, px: 1500 });
    expect(series.tensionMaxN.filter((most) => most === 3300)).toHaveLength(1);
    expect(series.tensionMinN.filter((least) => least === 12)).toHaveLength(1);
    expect(new Set(series.tensionN)).toEqual(new Set([640]));
  });

  it('is drawn from the hours where its minutes have been let go', async () => {
    const store = make();
    const writer = await store.writer();
    const minutes = Array.from({ length: 300 }, (_, i) => minute({ timeMs: START_MS + i * MINUTE_MS }));
    await writer.writeOutputs({ minutes, temperatures: [warm(), warm({ timeMs: START_MS + 3 * HOUR_MS })] });
    while ((await writer.trimMinutes(START_MS + 2 * HOUR_MS)) > 0);
    const reader = await store.reader();
    const series = (fromMs: number) => reader.positionSeries({ ...TAKEUP, fromMs, toMs: fromMs + HOUR_MS, px: 800 });
    expect(await series(START_MS)).toMatchObject({ source: 'hours', widthMs: HOUR_MS, count: [60 * 120] });
    expect((await series(START_MS + 2 * HOUR_MS)).source).toBe('minutes');
    expect((await reader.conveyorCourse(COURSE)).temperatures[0]?.timeMs).toEqual([]);
    expect((await reader.conveyorCourse({ ...COURSE, widthMs: HOUR_MS })).temperatures[0]?.timeMs).toEqual([START_MS]);
  });

  it('says how springs were followed, once for each change', async () => {
    const store = make();
    const writer = await store.writer();
    const spring = { freeMm: 320, rateNPerMm: 18, solidMm: 150, clearanceMm: 12, perSide: 1 };
    const set = (timeMs: number, springMm: number) =>
      ({ kind: 'spring-setting', ...TAKEUP, side: 'left', timeMs, setting: { set: { positionMm: 40, springMm }, spring } }) as const;
    await writer.writeOutputs({ springs: [set(START_MS, 250)] });
    await writer.writeOutputs({ springs: [set(START_MS + HOUR_MS, 250), set(START_MS + DAY_MS, 247)] });
    const settings = await (await store.reader()).springSettings('enamel', 'tu1', START_MS + 2 * DAY_MS);
    expect(settings.map(({ timeMs, setting }) => [timeMs, setting.set.springMm])).toEqual([
      [START_MS, 250],
      [START_MS + DAY_MS, 247],
    ]);
  });
});
