import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Condition, Turn, type ConditionDelays } from '../../../agent/flow/alarm/condition.js';

const S = 1000;
const FREE = { held: false };
const HELD = { held: true };
const DELAYS: ConditionDelays = { onMs: 60 * S, onReadings: 1, offMs: 5 * S };

/** Where a value stands against limit and deadband. */
type Standing = 'over' | 'between' | 'under' | 'unknown';

function step(condition: Condition, clock: number, standing: Standing, holder = FREE): Turn {
  return condition.step(clock, standing === 'over', standing === 'under', holder);
}

/** Steps through standings, one each so many seconds, and gives the seconds at which it turned. */
function turns(condition: Condition, everyS: number, standings: readonly Standing[]): (readonly [second: number, up: boolean])[] {
  return standings.flatMap((standing, i) => {
    const turn = step(condition, i * everyS * S, standing);
    return turn === Turn.none ? [] : [[condition.turnedAt / S, turn === Turn.raised] as const];
  });
}

const times = (count: number, standing: Standing): Standing[] => Array.from({ length: count }, () => standing);

describe('a condition', () => {
  it('turns on at the end of its on-delay, also where the reading that shows it comes later', () => {
    expect(turns(new Condition(DELAYS), 10, times(7, 'over'))).toEqual([[60, true]]);
    expect(turns(new Condition(DELAYS), 45, times(3, 'over'))).toEqual([[60, true]]);
  });

  it('without a delay turns on with the reading that is over', () => {
    expect(turns(new Condition({ ...DELAYS, onMs: 0 }), 10, ['under', 'over'])).toEqual([[10, true]]);
  });

  it('does not turn on where the delay was broken', () => {
    for (const breaks of ['under', 'between', 'unknown'] as const) {
      expect(turns(new Condition(DELAYS), 10, [...times(6, 'over'), breaks, ...times(6, 'over')])).toEqual([]);
    }
  });

  it('turns off at the end of its off-delay, counted from where it was first under', () => {
    expect(turns(new Condition(DELAYS), 2, [...times(31, 'over'), ...times(4, 'under')])).toEqual([
      [60, true],
      [67, false],
    ]);
  });

  it('stays on between limit and deadband, and while the value is unknown', () => {
    for (const between of ['between', 'unknown'] as const) {
      const condition = new Condition(DELAYS);
      turns(condition, 10, times(7, 'over'));
      for (let i = 0; i < 1000; i++) step(condition, (70 + i) * S, between);
      expect(condition.up).toBe(true);
      // Nor does it count towards the all-clear.
      expect(step(condition, 1100 * S, 'under')).toBe(Turn.none);
      expect(step(condition, 1104 * S, between)).toBe(Turn.none);
      expect(step(condition, 1106 * S, 'under')).toBe(Turn.none);
      expect(step(condition, 1111 * S, 'under')).toBe(Turn.cleared);
    }
  });

  it('that is counted turns on with so many readings in a row', () => {
    const delays = { onMs: 0, onReadings: 2, offMs: 0 };
    expect(turns(new Condition(delays), 10, ['over', 'over'])).toEqual([[10, true]]);
    expect(turns(new Condition(delays), 10, ['over', 'unknown', 'over', 'between', 'over', 'over'])).toEqual([[50, true]]);
  });

  it('that is held does not turn on, and does so at once when it is let go', () => {
    const condition = new Condition(DELAYS);
    const seen = Array.from({ length: 61 }, (_, i) => step(condition, i * 10 * S, 'over', HELD));
    // It would have turned on at the end of its on-delay, and says so once.
    expect(seen.flatMap((turn, i) => (turn === Turn.none ? [] : [[i * 10, turn]]))).toEqual([[60, Turn.held]]);
    expect([condition.up, condition.holding]).toEqual([false, true]);
    expect(step(condition, 610 * S, 'over')).toBe(Turn.raised);
    // There and then, not at a time long past.
    expect(condition.turnedAt).toBe(610 * S);
  });

  it('that is held while it is on stays on: suppression stops new alarms only', () => {
    const condition = new Condition(DELAYS);
    turns(condition, 10, times(7, 'over'));
    step(condition, 80 * S, 'over', HELD);
    expect(condition.up).toBe(true);
  });

  it('turns on a clock that stands still while the conveyor does', () => {
    const condition = new Condition({ onMs: 600 * S, onReadings: 1, offMs: 0 });
    step(condition, 0, 'over');
    step(condition, 599 * S, 'over');
    // Hours of standing: the same running time.
    for (let i = 0; i < 50; i++) expect(step(condition, 599 * S, 'over')).toBe(Turn.none);
    expect(step(condition, 600 * S, 'over')).toBe(Turn.raised);
  });
});

describe('any condition', () => {
  const standing = fc.constantFrom<Standing>('over', 'between', 'under', 'unknown');
  const walk = fc.array(fc.tuple(fc.integer({ min: 0, max: 30 }), standing), { maxLength: 200 });
  const delays = fc.record({
    onMs: fc.constantFrom(0, 10 * S, 60 * S),
    onReadings: fc.constantFrom(1, 2, 3),
    offMs: fc.constantFrom(0, 5 * S, 60 * S),
  });

  it('turns on and off by turns, on only after its delay of being over, off only after its delay of being under', () => {
    fc.assert(
      fc.property(walk, delays, (steps, own) => {
        const condition = new Condition(own);
        let [clock, up] = [0, false];
        let run: { standing: Standing; since: number; count: number } = { standing: 'unknown', since: 0, count: 0 };
        for (const [gap, now] of steps) {
          clock += gap * S;
          run = run.standing === now ? { ...run, count: run.count + 1 } : { standing: now, since: clock, count: 1 };
          const turn = step(condition, clock, now);
          const raises = !up && now === 'over' && clock - run.since >= own.onMs && run.count >= own.onReadings;
          const clears = up && now === 'under' && clock - run.since >= own.offMs;
          expect(turn).toBe(raises ? Turn.raised : clears ? Turn.cleared : Turn.none);
          if (turn !== Turn.none) {
            up = turn === Turn.raised;
            expect(condition.turnedAt).toBeLessThanOrEqual(clock);
          }
          expect(condition.up).toBe(up);
        }
      }),
    );
  });

  it('goes on from what was saved through JSON as if nothing had been', () => {
    fc.assert(
      fc.property(walk, delays, fc.nat(200), (steps, own, cut) => {
        const whole = new Condition(own);
        let halves = new Condition(own);
        let clock = 0;
        steps.forEach(([gap, now], i) => {
          clock += gap * S;
          if (i === cut) halves = new Condition(own, JSON.parse(JSON.stringify(halves.save())) as ReturnType<Condition['save']>);
          expect(step(halves, clock, now)).toBe(step(whole, clock, now));
        });
        expect(halves.save()).toEqual(whole.save());
      }),
    );
  });
});
