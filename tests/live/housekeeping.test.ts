import { describe, expect, it } from 'vitest';
import { Housekeeping } from '../../agent/live/housekeeping.js';
import { TakelineFault } from '../../agent/process/fault.js';

const DAY_MS = 86_400_000;
const NOW_MS = Date.parse('2026-03-02T06:00:00Z');

/** A store that notes what it is told, and has so many steps of each kind to do. */
function store(steps = 2) {
  const told: string[] = [];
  const left: Record<string, number> = {};
  const next = (what: string): boolean => {
    told.push(what);
    const still = left[what] ?? steps;
    left[what] = Math.max(0, still - 1);
    return still > 0;
  };
  return {
    told,
    refuses: false,
    compactReadings() {
      return this.refuses ? Promise.reject(new TakelineFault('store-disk-full', 'the disk is full')) : Promise.resolve(next('compact'));
    },
    trimReadings: (beforeMs: number) => Promise.resolve(Number(next(`raw before ${(NOW_MS - beforeMs) / DAY_MS} days`))),
    trimMinutes: (beforeMs: number) => Promise.resolve(Number(next(`minutes before ${(NOW_MS - beforeMs) / DAY_MS} days`))),
    makeRoom: (bytes: number) => Promise.resolve(next(`room of ${bytes}`)),
  };
}

function setUp(maxBytes?: number) {
  const [kept, said, clock] = [store(), [] as string[], { at: NOW_MS, nowMs: () => clock.at }];
  const say = (line: string) => void said.push(line);
  const retention = { rawDays: 30, minuteDays: 400, ...(maxBytes === undefined ? {} : { maxBytes }) };
  return { kept, said, clock, house: new Housekeeping(kept, retention, clock, { info: say, warn: say, error: say }) };
}

describe('housekeeping', () => {
  it('puts readings away, then lets go of what is older than is to be kept, until nothing is left to do', async () => {
    const { kept, house } = setUp();
    await house.once();
    const thrice = (what: string) => [what, what, what];
    expect(kept.told).toEqual([...thrice('compact'), ...thrice('raw before 30 days'), ...thrice('minutes before 400 days')]);
  });

  it('looks for old things once in ten minutes only', async () => {
    const { kept, house, clock } = setUp();
    await house.once();
    kept.told.length = 0;
    clock.at += 300_000;
    await house.once();
    expect(kept.told).toEqual(['compact']);
    clock.at += 300_000;
    await house.once();
    expect(kept.told.filter((what) => what.startsWith('raw'))).not.toEqual([]);
  });

  it('makes room before the disk is as full as it may be', async () => {
    const { kept, house } = setUp(1000);
    await house.once();
    expect(kept.told[0]).toBe('room of 950');
  });

  it('tells once of a store that cannot, and tries again', async () => {
    const { kept, said, house } = setUp();
    kept.refuses = true;
    await house.once();
    await house.once();
    expect(said).toEqual(['old readings cannot be put away: the disk is full']);
    kept.refuses = false;
    await house.once();
    expect(kept.told).toContain('raw before 30 days');
  });

  it('ends with the step under way when the agent stops', async () => {
    const { kept, house } = setUp();
    const round = house.once();
    await house.stop();
    await round;
    expect(kept.told).toEqual(['compact']);
    house.begin();
    expect(kept.told).toEqual(['compact']);
  });
});
