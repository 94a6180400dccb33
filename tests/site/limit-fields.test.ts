import { describe, expect, it } from 'vitest';
import { ALARM_KEYS, PRIORITIES } from '../../agent/flow/alarm-key.js';
import { describeSite } from '../../agent/site/describe-site.js';
import { ALARM_PRIORITIES, COMMON_LIMIT_FIELDS, LIMIT_FIELDS, LIMIT_KEYS } from '../../agent/site/limit-fields.js';
import { readSite } from '../../agent/site/read-site.js';
import { goodSite } from './fixture-files.js';

describe('the set-points a take-up may override', () => {
  it('are those of every alarm that a take-up can have', () => {
    expect([...LIMIT_KEYS].sort()).toEqual(ALARM_KEYS.filter((key) => key !== 'agent-silent' && key !== 'page-unanswered').sort());
  });

  it('are taken from the site file, each with its own fields and the common ones', () => {
    const all = Object.fromEntries(
      LIMIT_KEYS.map((key) => [
        key,
        Object.fromEntries([...LIMIT_FIELDS[key], ...COMMON_LIMIT_FIELDS].map(({ name }, index) => [name, index + 1])),
      ]),
    );
    const reading = readSite(
      goodSite('minimal').replace('stroke_mm: 300', `stroke_mm: 300\n        limits: ${JSON.stringify(all)}`),
      'site.yaml',
    );
    expect(reading.ok ? reading.site.conveyors[0]?.takeups[0]?.limits : reading.faults).toEqual(all);
  });

  it('may go with a priority, words, time and latching of its own, apart from the set-points', () => {
    const own = {
      ...{ remaining_mm: 70, priority: 'high', consequence: 'The paint line stops with it.', action: 'Call the chain crew.' },
      ...{ respond_within_min: 240, latch: true },
    };
    const reading = readSite(
      goodSite('minimal').replace('stroke_mm: 300', `stroke_mm: 300\n        limits: { stroke-low: ${JSON.stringify(own)} }`),
      'site.yaml',
    );
    if (!reading.ok) throw new Error('refused');
    const takeup = reading.site.conveyors[0]?.takeups[0];
    expect(takeup?.limits).toEqual({ 'stroke-low': { remaining_mm: 70 } });
    const { consequence, action } = own;
    expect(takeup?.alarmTerms).toEqual({ 'stroke-low': { priority: 'high', consequence, action, respondWithinMin: 240, latch: true } });
    expect(describeSite(reading.site).join('\n')).toContain(
      'alarm stroke-low: high priority, respond within 240 min, stays until acknowledged, consequence "The paint line stops with it."',
    );
  });

  it('have the priorities of the alarm list', () => {
    expect(ALARM_PRIORITIES).toEqual(PRIORITIES);
  });
});
