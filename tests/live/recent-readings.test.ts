import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RecentReadings } from '../../agent/live/recent-readings.js';

describe('readings that came last', () => {
  it('are known again by signal and time, however they are mixed', () => {
    const readings = fc.uniqueArray(fc.tuple(fc.integer({ min: 0, max: 3 }), fc.integer({ min: 0, max: 500 })), {
      selector: ([signal, timeMs]) => signal * 1000 + timeMs,
      maxLength: 200,
    });
    fc.assert(
      fc.property(readings, fc.array(fc.nat()), (came, again) => {
        const recent = new RecentReadings();
        for (const [signal, timeMs] of came) expect(recent.admit(signal, timeMs)).toBe(true);
        for (const index of again) {
          const repeated = came[index % Math.max(1, came.length)];
          if (repeated) expect(recent.admit(...repeated)).toBe(false);
        }
      }),
    );
  });

  it('are forgotten after some hundreds: an old one that comes again is late, and counted as that', () => {
    const recent = new RecentReadings();
    for (let timeMs = 0; timeMs < 1000; timeMs++) recent.admit(0, timeMs);
    expect(recent.admit(0, 999)).toBe(false);
    expect(recent.admit(0, 800)).toBe(false);
    expect(recent.admit(0, 0)).toBe(true);
  });
});
