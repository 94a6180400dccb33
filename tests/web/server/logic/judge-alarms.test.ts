import { describe, expect, it } from 'vitest';
import { alarmLives } from '../../../../web/server/logic/alarm-calls.js';
import { AlarmJudge, periodsOf } from '../../../../web/server/logic/judge-alarms.js';
import { Happenings } from './transitions.js';

const START = Date.parse('2026-03-02T05:00:00Z');
const MINUTE = 60;
const HOUR = 3600;
const SHIFT = { name: 'early', fromMs: START, toMs: START + 8 * HOUR * 1000 };
const LATER = START + 9 * HOUR * 1000;

/** Two hours of a shift, counted by hand below. */
function aShift(): Happenings {
  const plant = new Happenings(START);
  // Stands for thirty hours before the shift, and is acknowledged in it after 30 h 5 min.
  plant.tell(-30 * HOUR, 'tu9', 'raised', { alarm: 'wear-limit', priority: 'low' });
  plant.tell(5 * MINUTE, 'tu9', 'acknowledged', { alarm: 'wear-limit', priority: 'low' });
  // Chatters: 6:00:00, :20, :40 past its first, each over within ten seconds; a fourth five minutes on is alone.
  for (const seconds of [600, 620, 640, 940]) {
    plant.tell(seconds, 'tu1', 'raised');
    plant.tell(seconds + 10, 'tu1', 'cleared');
  }
  plant.tell(1000, 'tu1', 'acknowledged');
  // Acknowledged after 2 min, over after ten.
  plant.tell(1200, 'tu2', 'raised', { alarm: 'stroke-end', priority: 'high' });
  plant.tell(1320, 'tu2', 'acknowledged', { alarm: 'stroke-end', priority: 'high' });
  plant.tell(1800, 'tu2', 'cleared', { alarm: 'stroke-end', priority: 'high' });
  // Over within a minute, but somebody acted before.
  plant.tell(2000, 'tu3', 'raised');
  plant.tell(2010, 'tu3', 'acknowledged');
  plant.tell(2030, 'tu3', 'cleared');
  // Shelved: what rises meanwhile calls for nobody; unshelved while it is there it calls again.
  plant.tell(3000, 'tu4', 'raised');
  plant.tell(3100, 'tu4', 'shelved');
  plant.tell(3200, 'tu4', 'cleared');
  plant.tell(3300, 'tu4', 'raised');
  plant.tell(6000, 'tu4', 'unshelved');
  // Twelve in one period.
  for (let nth = 0; nth < 12; nth++) plant.tell(7200 + nth, `tu${20 + nth}`, 'raised', { priority: nth === 0 ? 'urgent' : 'low' });
  return plant;
}

const judged = (plant: Happenings, nowMs = LATER) => new AlarmJudge(alarmLives(plant.transitions), nowMs);

describe('a shift counted by hand', () => {
  const figures = judged(aShift()).figures(SHIFT);

  it('has as many alarms as called for somebody', () => {
    // tu1 four times, tu2, tu3, tu4 twice, and the twelve.
    expect(figures.alarms).toBe(20);
    expect(figures.perPeriod).toBeCloseTo(20 / 48, 12);
    expect(figures.byPriority).toEqual({ urgent: 1, high: 1, medium: 7, low: 11 });
  });

  it('has one period in 48 with more than ten, the worst with twelve', () => {
    expect(figures.peakPeriod).toBe(12);
    expect(figures.overShare).toBeCloseTo(1 / 48, 12);
  });

  it('has three calls that chattered and four that were fleeting', () => {
    expect(figures.chattering).toBe(3);
    expect(figures.fleeting).toBe(4);
  });

  it('has one stale alarm, and fourteen standing at its end', () => {
    expect(figures.stale).toBe(1);
    // tu9, tu4 and the twelve.
    expect(figures.standing).toBe(14);
    expect(figures.standingPeak).toBe(14);
    // tu4, which called anew, and the twelve.
    expect(figures.unacknowledged).toBe(13);
  });

  it('has four acknowledgements: after 10 s, 2 min, 6 min 40 s from the first call, and 30 h 5 min', () => {
    expect(figures.acknowledged).toBe(4);
    expect(figures.acknowledgeMedianMs).toBe(((120 + 400) / 2) * 1000);
    // Definition 7 of Hyndman & Fan: 0.7 of the way from the third to the fourth.
    expect(figures.acknowledgeP90Ms).toBeCloseTo((400 + 0.7 * (30 * HOUR + 5 * MINUTE - 400)) * 1000, 6);
  });

  it('names the ten most frequent, which made fourteen of the twenty calls', () => {
    const { frequent, chattering, fleeting, stale } = judged(aShift()).detail(SHIFT);
    expect(frequent.map(({ name, alarms }) => [name.takeup, alarms]).slice(0, 3)).toEqual([
      ['tu1', 4],
      ['tu4', 2],
      ['tu2', 1],
    ]);
    expect(frequent[0]?.share).toBeCloseTo(0.2, 12);
    // Four, two, and eight alarms with one each.
    expect(figures.frequentShare).toBeCloseTo(14 / 20, 12);
    expect(chattering.map(({ name, alarms }) => [name.takeup, alarms])).toEqual([['tu1', 3]]);
    expect(fleeting.map(({ name, alarms }) => [name.takeup, alarms])).toEqual([['tu1', 4]]);
    expect(stale.map(({ name, fromMs }) => [name.takeup, fromMs])).toEqual([['tu9', START - 30 * HOUR * 1000]]);
  });

  it('in its periods: what came and what stood', () => {
    const periods = judged(aShift()).periods(periodsOf(SHIFT));
    expect(periods).toHaveLength(48);
    expect(periods.slice(0, 4).map(({ alarms }) => alarms)).toEqual([0, 4, 1, 1]);
    expect(periods.map(({ standing }) => standing).slice(0, 5)).toEqual([1, 1, 2, 1, 1]);
    expect(periods[12]).toMatchObject({ alarms: 12, peakPeriod: 12, standing: 14 });
  });
});

describe('a span that still runs', () => {
  it('is judged up to now', () => {
    const figures = judged(aShift(), START + 1500 * 1000).figures(SHIFT);
    expect(figures.alarms).toBe(5);
    expect(figures.perPeriod).toBeCloseTo(5 / 2.5, 12);
    expect(figures.standing).toBe(2);
  });

  it('that has not begun is refused, and its periods are none', () => {
    const judge = judged(aShift(), START - 1);
    expect(() => judge.figures(SHIFT)).toThrow('early has not begun');
    expect(judge.periods(periodsOf(SHIFT))).toEqual([]);
  });
});

describe('a span in which nothing happened', () => {
  it('has counts of nothing and no shares', () => {
    expect(judged(new Happenings(START)).figures(SHIFT)).toMatchObject({
      ...{ alarms: 0, perPeriod: 0, peakPeriod: 0, overShare: 0, frequentShare: null, standing: 0, stale: 0 },
      ...{ acknowledged: 0, acknowledgeMedianMs: null, acknowledgeP90Ms: null },
    });
  });
});

describe('what is at an edge', () => {
  it('belongs to the span that begins with it', () => {
    const plant = new Happenings(START);
    plant.tell(0, 'tu1', 'raised');
    plant.tell(8 * HOUR, 'tu2', 'raised');
    expect(judged(plant).figures(SHIFT)).toMatchObject({ alarms: 1, standing: 1 });
  });

  it('three in exactly a minute chatter, in more they do not', () => {
    const at = (...seconds: number[]) => {
      const plant = new Happenings(START);
      for (const second of seconds) {
        plant.tell(second, 'tu1', 'raised');
        plant.tell(second + 1, 'tu1', 'cleared');
      }
      return judged(plant).figures(SHIFT).chattering;
    };
    expect([at(0, 30, 60), at(0, 30, 61), at(0, 10), at(0, 30, 60, 90), at(-50, 0, 5)]).toEqual([3, 0, 0, 4, 2]);
  });

  it('over after exactly a minute is fleeting, later it is not, and an alarm that never clears is not', () => {
    const after = (seconds: number) => {
      const plant = new Happenings(START);
      plant.tell(10, 'tu1', 'raised');
      plant.tell(10 + seconds, 'tu1', 'cleared');
      plant.tell(20, 'tu2', 'raised');
      return judged(plant).figures(SHIFT).fleeting;
    };
    expect([after(60), after(61)]).toEqual([1, 0]);
  });

  it('that cleared after the shift ended is fleeting in the shift in which it called', () => {
    const plant = new Happenings(START);
    plant.tell(8 * HOUR - 10, 'tu1', 'raised');
    plant.tell(8 * HOUR + 10, 'tu1', 'cleared');
    expect(judged(plant).figures(SHIFT)).toMatchObject({ fleeting: 1, standing: 1 });
  });

  it('that stood before anything is known stands, is stale, and gives no time to acknowledge', () => {
    const [first, ...rest] = aShift().transitions;
    expect(first?.takeup).toBe('tu9');
    const figures = new AlarmJudge(alarmLives(rest), LATER).figures(SHIFT);
    expect(figures).toMatchObject({ stale: 1, standing: 14, acknowledged: 4, acknowledgeMedianMs: 120_000 });
  });
});
