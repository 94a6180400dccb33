import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { alarmLives, type AlarmTransition } from '../../../../web/server/logic/alarm-calls.js';
import { AlarmJudge, PERIOD_MS, periodsOf } from '../../../../web/server/logic/judge-alarms.js';
import { Happenings } from './transitions.js';

const START = Date.parse('2026-03-02T05:00:00Z');
const HOUR_MS = 3_600_000;
const CHANGES = [
  'raised',
  'cleared',
  'acknowledged',
  'shelved',
  'unshelved',
  'out-of-service',
  'in-service',
  'suppressed',
  'unsuppressed',
] as const;

/** Four days of a few alarms, to which anything that can happen happens, often in bursts. */
const histories = fc
  .array(
    fc.record({
      afterSeconds: fc.oneof(fc.integer({ min: 0, max: 40 }), fc.integer({ min: 0, max: 20_000 })),
      takeup: fc.constantFrom('tu1', 'tu2', 'tu3'),
      change: fc.oneof(
        { weight: 3, arbitrary: fc.constantFrom('raised', 'cleared') },
        { weight: 1, arbitrary: fc.constantFrom(...CHANGES) },
      ),
    }),
    { maxLength: 120 },
  )
  .map((told) => {
    const plant = new Happenings(START);
    let seconds = 0;
    for (const { afterSeconds, takeup, change } of told) plant.tell((seconds += afterSeconds), takeup, change);
    return plant.transitions;
  });

const SPANS = Array.from({ length: 12 }, (_, index) => ({
  name: `shift ${index}`,
  fromMs: START + index * 8 * HOUR_MS,
  toMs: START + (index + 1) * 8 * HOUR_MS,
}));
const WHOLE = { name: 'whole', fromMs: START, toMs: START + 12 * 8 * HOUR_MS };
const NOW = WHOLE.toMs + HOUR_MS;

const judgeOf = (transitions: readonly AlarmTransition[]) => new AlarmJudge(alarmLives(transitions), NOW);
const isUp = (state: string) => state === 'unacknowledged' || state === 'acknowledged';
const sum = (numbers: readonly number[]) => numbers.reduce((total, number) => total + number, 0);

/** State of every alarm just before an instant, by going through all that was told. */
function standingBefore(transitions: readonly AlarmTransition[], atMs: number): number {
  const states = new Map<string, string>();
  for (const { timeMs, takeup, to } of transitions) if (timeMs < atMs) states.set(takeup ?? '', to);
  return [...states.values()].filter(isUp).length;
}

describe('whatever happens', () => {
  it('counts of shifts, of periods and of priorities add up to those of the whole', () => {
    fc.assert(
      fc.property(histories, (transitions) => {
        const judge = judgeOf(transitions);
        const whole = judge.figures(WHOLE);
        const shifts = SPANS.map((span) => judge.figures(span));
        for (const field of ['alarms', 'chattering', 'fleeting', 'acknowledged'] as const)
          expect(sum(shifts.map((figures) => figures[field]))).toBe(whole[field]);
        expect(sum(judge.periods(periodsOf(WHOLE)).map(({ alarms }) => alarms))).toBe(whole.alarms);
        expect(sum(Object.values(whole.byPriority))).toBe(whole.alarms);
        expect(Math.max(...shifts.map(({ peakPeriod }) => peakPeriod))).toBe(whole.peakPeriod);
        expect(Math.max(...shifts.map(({ standingPeak }) => standingPeak))).toBe(whole.standingPeak);
      }),
    );
  });

  it('calls are the transitions that became unacknowledged, and standing is the states gone through one by one', () => {
    fc.assert(
      fc.property(histories, (transitions) => {
        const judge = judgeOf(transitions);
        for (const span of SPANS) {
          const figures = judge.figures(span);
          const inIt = transitions.filter(({ timeMs }) => timeMs >= span.fromMs && timeMs < span.toMs);
          expect(figures.alarms).toBe(inIt.filter(({ from, to }) => to === 'unacknowledged' && from !== to).length);
          expect(figures.standing).toBe(standingBefore(transitions, span.toMs));
        }
      }),
    );
  });

  it('no figure is more than what it is a part of', () => {
    fc.assert(
      fc.property(histories, (transitions) => {
        for (const span of SPANS) {
          const figures = judgeOf(transitions).figures(span);
          expect(Math.max(figures.chattering, figures.fleeting, figures.peakPeriod)).toBeLessThanOrEqual(figures.alarms);
          expect(figures.standing).toBeLessThanOrEqual(figures.standingPeak);
          expect(figures.stale).toBeLessThanOrEqual(figures.standing);
          expect(figures.perPeriod).toBeLessThanOrEqual(figures.peakPeriod);
          expect(figures.acknowledgeMedianMs ?? 0).toBeLessThanOrEqual(figures.acknowledgeP90Ms ?? 0);
        }
      }),
    );
  });

  it('forgetting what was before a span changes neither what came in it nor what stood', () => {
    fc.assert(
      fc.property(histories, fc.integer({ min: 1, max: 11 }), (transitions, index) => {
        const span = SPANS[index] ?? WHOLE;
        // Of an alarm that nothing is told of any more nobody could know.
        const later = transitions.filter(({ timeMs }) => timeMs >= span.fromMs);
        const known = transitions.filter(({ takeup }) => later.some((one) => one.takeup === takeup));
        const [short, long] = [judgeOf(later).figures(span), judgeOf(known).figures(span)];
        expect([short.alarms, short.standing, short.standingPeak, short.acknowledged]).toEqual([
          ...[long.alarms, long.standing, long.standingPeak, long.acknowledged],
        ]);
      }),
    );
  });

  it('a period is ten minutes', () => {
    expect(periodsOf(WHOLE).every(({ fromMs, toMs }) => toMs - fromMs === PERIOD_MS)).toBe(true);
  });
});
