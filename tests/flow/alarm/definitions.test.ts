import { describe, expect, it, test } from 'vitest';
import { ALARM_KEYS, PRIORITIES } from '../../../agent/flow/alarm-key.js';
import { ALARM_DEFINITIONS, definitionOf, signalAlarmPriority } from '../../../agent/flow/alarm/definitions.js';
import { ALARM_TEXTS } from '../../../agent/flow/alarm/texts.js';
import { LIMIT_FIELDS, LIMIT_KEYS } from '../../../agent/site/limit-fields.js';
import { testSite } from '../way/test-site.js';
import { ALARM_LIST } from './alarm-list.js';

const CONVEYOR = testSite().conveyors[0]!;
const CONTEXT = { takeup: CONVEYOR.takeups[0]!, chain: CONVEYOR.chain, spring: CONVEYOR.takeups[0]!.spring };

describe('the table of alarms', () => {
  it('has one row for each alarm key', () => {
    expect(ALARM_DEFINITIONS.map(({ key }) => key).sort()).toEqual([...ALARM_KEYS].sort());
    for (const key of ALARM_KEYS) expect(definitionOf(key).key).toBe(key);
  });

  it('judges a measure where the list of the design does, and is told of the rest', () => {
    const judged = ALARM_DEFINITIONS.filter(({ measure }) => measure !== 'told').map(({ key }) => key);
    expect(judged.sort()).toEqual(ALARM_LIST.map(({ key }) => key).sort());
  });

  it('takes the fields that the site file may hold, and no others', () => {
    for (const key of LIMIT_KEYS) {
      expect(LIMIT_FIELDS[key].map(({ name }): string => name)).toEqual([definitionOf(key).field].filter((field) => field !== null));
    }
    expect([...LIMIT_KEYS, 'agent-silent', 'page-unanswered'].sort()).toEqual([...ALARM_KEYS].sort());
  });

  test.each([
    ['carriage-jump', 'high', 8],
    ['change-unrecorded', 'low', 4],
    ['wear-fast', 'low', 1.5],
    ['signal-lost', 'medium', undefined],
    ['signal-fault', 'medium', undefined],
    ['signal-doubtful', 'low', undefined],
    ['agent-silent', 'high', undefined],
    ['page-unanswered', 'urgent', undefined],
  ] as const)('has %s as a %s alarm with the set-point %d, as the design lists it', (key, priority, limit) => {
    const row = definitionOf(key);
    expect([row.priority, row.limit(CONTEXT)]).toEqual([priority, limit]);
  });

  it('puts a small alarm under the one that says more', () => {
    const under = ALARM_DEFINITIONS.flatMap(({ key, under: over }) => (over === null ? [] : [[key, over]]));
    expect(under).toEqual(
      expect.arrayContaining([
        ['stroke-low', 'stroke-end'],
        ['spring-near-solid', 'spring-solid'],
      ]),
    );
    for (const [key, over] of under) {
      const [lesser, greater] = [definitionOf(key as never), definitionOf(over as never)];
      expect(PRIORITIES.indexOf(greater.priority)).toBeLessThan(PRIORITIES.indexOf(lesser.priority));
    }
  });

  it('has the greater of two rows over one measure first, so that the lesser rests under it', () => {
    const order = ALARM_DEFINITIONS.map(({ key }) => key);
    for (const { key, measure, under } of ALARM_DEFINITIONS) {
      if (under !== null && definitionOf(under).measure === measure) expect(order.indexOf(under)).toBeLessThan(order.indexOf(key));
    }
    expect(order.indexOf('spring-solid')).toBeLessThan(order.indexOf('spring-near-solid'));
  });

  it('rests all of a take-up while a service is open on it, but the alarms of signals and of the agent', () => {
    const awake = ALARM_DEFINITIONS.filter(({ restsInService }) => !restsInService).map(({ key }) => key);
    expect(awake.sort()).toEqual(['agent-silent', 'page-unanswered', 'signal-doubtful', 'signal-fault', 'signal-lost']);
  });

  it('has tension off where the chain is given no bounds', () => {
    expect(definitionOf('tension-low').limit(CONTEXT)).toBeUndefined();
    expect(definitionOf('tension-high').limit(CONTEXT)).toBeUndefined();
  });
});

describe('an alarm of a signal', () => {
  it('is medium where it is a carriage position, and low else', () => {
    for (const key of ['signal-lost', 'signal-fault'] as const) {
      expect(signalAlarmPriority(key, 'position')).toBe('medium');
      for (const quantity of ['spring', 'running', 'speed', 'temperature']) expect(signalAlarmPriority(key, quantity)).toBe('low');
    }
  });
});

describe('the words of an alarm', () => {
  test.each(ALARM_KEYS)('of %s say what is seen, what follows, what to do and how long there is', (key) => {
    const { seen, consequence, action, respondWithinMin } = ALARM_TEXTS[key];
    for (const sentence of [seen, consequence, action]) expect(sentence).toMatch(/^[A-Z].+\.$/u);
    expect(respondWithinMin).toBeGreaterThan(0);
  });

  it('leave less time the more pressing it is', () => {
    const longest = PRIORITIES.map((priority) =>
      Math.max(...ALARM_DEFINITIONS.filter((row) => row.priority === priority).map(({ key }) => ALARM_TEXTS[key].respondWithinMin)),
    );
    expect(longest).toEqual([...longest].sort((a, b) => a - b));
  });
});
