import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ALARM_KEYS } from '../../agent/flow/alarm-key.js';
import type { AlarmOutput, Output } from '../../agent/flow/output.js';
import { Pipeline } from '../../agent/pipeline.js';
import { feed, type TestInput } from '../flow/way/run.js';
import { EVENTFUL_SITE, eventfulRun } from './eventful-plant.js';

const HOURS = 24;
const seed = fc.integer({ min: 1, max: 1e6 });

function runOf(inputs: readonly TestInput[]): Output[] {
  const pipeline = new Pipeline(EVENTFUL_SITE);
  return [...feed(pipeline, inputs), ...pipeline.finish()];
}

/** The turns of conditions; what the design suppresses meanwhile is no turn. */
const alarmsOf = (outputs: readonly Output[]): AlarmOutput[] =>
  outputs.filter((output) => output.kind === 'alarm').filter(({ change }) => change === 'raised' || change === 'cleared');

/** The signals without which an alarm's value is not known. Of `told` alarms none is asked for here. */
function fedBy({ alarm, takeup, side }: AlarmOutput): readonly string[] {
  const position = (name: string): string => `line/${takeup ?? ''}/${name}/position`;
  const spring = (name: string): readonly string[] => (takeup === 'tu1' && name === 'left' ? ['line/tu1/left/spring'] : [position(name)]);
  switch (alarm) {
    case 'stroke-end':
      return side === undefined ? [] : [position(side)];
    case 'spring-near-solid':
    case 'spring-solid':
    case 'spring-slack':
      return side === undefined ? [] : spring(side);
    case 'stroke-low':
    case 'carriage-skew':
    case 'carriage-jump':
      return [position('left'), position('right')];
    case 'tension-low':
    case 'tension-high':
      return [...spring('left'), ...spring('right')];
    default:
      return [];
  }
}

describe('whatever a plant does', () => {
  it('what a lost or faulty signal feeds neither raises nor clears an alarm', () => {
    let judged = 0;
    fc.assert(
      fc.property(seed, (some) => {
        const unknown = new Set<string>();
        for (const event of alarmsOf(runOf(eventfulRun(some, HOURS)))) {
          const { alarm, signal, change } = event;
          if (signal !== undefined && (alarm === 'signal-lost' || alarm === 'signal-fault')) {
            const name = `${alarm} ${signal}`;
            if (change === 'raised') unknown.add(name);
            else unknown.delete(name);
          } else {
            judged++;
            const missing = fedBy(event).filter((name) => unknown.has(`signal-lost ${name}`) || unknown.has(`signal-fault ${name}`));
            expect(missing, `${alarm} ${change}`).toEqual([]);
          }
        }
      }),
      { numRuns: 25 },
    );
    expect(judged).toBeGreaterThan(0);
  });

  it('alarms are raised and cleared by turns', () => {
    fc.assert(
      fc.property(seed, (some) => {
        const up = new Set<string>();
        for (const { alarm, takeup, signal, change } of alarmsOf(runOf(eventfulRun(some, HOURS)))) {
          const name = `${takeup ?? ''} ${alarm} ${signal ?? ''}`;
          expect(up.has(name), `${name} ${change}`).toBe(change === 'cleared');
          if (change === 'raised') up.add(name);
          else up.delete(name);
          expect(ALARM_KEYS).toContain(alarm);
        }
      }),
      { numRuns: 25 },
    );
  });

  it('no alarm of a take-up but those of its signals is raised while a service is open on it', () => {
    fc.assert(
      fc.property(seed, (some) => {
        const inputs = eventfulRun(some, HOURS);
        const services = inputs.flatMap((input) =>
          input.kind === 'service' && input.entry.kind.startsWith('service-') ? [input.entry] : [],
        );
        const [opened, closed] = ['service-opened', 'service-closed'].map((kind) => services.find((entry) => entry.kind === kind)?.timeMs);
        if (opened === undefined) return;
        const untilMs = closed === undefined || closed < opened ? Infinity : closed;
        const within = alarmsOf(runOf(inputs)).filter(
          ({ takeup, change, timeMs, alarm }) =>
            takeup === 'tu1' && change === 'raised' && timeMs > opened && timeMs < untilMs && !alarm.startsWith('signal-'),
        );
        expect(within.map(({ alarm }) => alarm)).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });

  it('payloads that are no number reach no figure', () => {
    fc.assert(
      fc.property(seed, (some) => {
        for (const output of runOf(eventfulRun(some, HOURS))) {
          if (output.kind === 'minute') for (const value of [output.minMm, output.meanMm, output.maxMm]) expect(value).not.toBeNaN();
          if (output.kind === 'settled-day')
            for (const value of [output.positionMm, output.skewMm, output.breathingMm]) expect(value).not.toBeNaN();
          if (output.kind === 'alarm') expect(output.value).not.toBeNaN();
          if (output.kind === 'finding') expect(output.text).not.toMatch(/NaN|undefined|Infinity/u);
        }
      }),
      { numRuns: 25 },
    );
  });
});
