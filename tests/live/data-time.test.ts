import { describe, expect, it } from 'vitest';
import { DataTime } from '../../agent/live/data-time.js';

const MINUTE = 60_000;

function setUp(): { readonly clock: { ms: number; nowMs(): number }; readonly dataTime: DataTime } {
  const clock = {
    ms: 1_000_000,
    nowMs(): number {
      return this.ms;
    },
  };
  return { clock, dataTime: new DataTime(clock, MINUTE) };
}

describe("the data's own time", () => {
  it('is that of the clock before the first reading, and with readings that come at once', () => {
    const { clock, dataTime } = setUp();
    expect(dataTime.nowMs()).toBe(1_000_000);
    dataTime.heard(999_000, 1_000_000);
    dataTime.heard(1_000_000, 1_000_000);
    clock.ms += 5000;
    expect(dataTime.nowMs()).toBe(1_005_000);
  });

  it('lies behind the clock by the least delay of the last readings, and goes on without them', () => {
    const { clock, dataTime } = setUp();
    dataTime.heard(940_000, clock.ms);
    dataTime.heard(930_000, clock.ms);
    expect(dataTime.nowMs()).toBe(940_000);
    clock.ms += 10 * MINUTE;
    expect(dataTime.nowMs()).toBe(940_000 + 10 * MINUTE);
  });

  it('is never ahead of the clock, though a sensor is', () => {
    const { clock, dataTime } = setUp();
    dataTime.heard(clock.ms + 100_000, clock.ms);
    expect(dataTime.nowMs()).toBe(clock.ms);
  });

  it('does not fall back to a slow sensor before one whose clock is right has been missed', () => {
    const { clock, dataTime } = setUp();
    dataTime.heard(clock.ms, clock.ms);
    for (let second = 0; second < 60; second++) {
      clock.ms += 1000;
      dataTime.heard(clock.ms - 3_600_000, clock.ms);
      expect(dataTime.nowMs()).toBe(clock.ms);
    }
  });

  it('follows a sensor whose clock drifts or is set, within two stretches', () => {
    const { clock, dataTime } = setUp();
    for (let minute = 0; minute < 5; minute++) {
      const delay = minute < 2 ? 0 : 45_000;
      dataTime.heard(clock.ms - delay, clock.ms);
      clock.ms += MINUTE;
    }
    expect(dataTime.nowMs()).toBe(clock.ms - 45_000);
  });
});
