import { describe, expect, it } from 'vitest';
import { ALARM_KEYS } from '../../agent/flow/alarm-key.js';
import { COMMON_LIMIT_FIELDS, LIMIT_FIELDS, LIMIT_KEYS } from '../../agent/site/limit-fields.js';
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
});
