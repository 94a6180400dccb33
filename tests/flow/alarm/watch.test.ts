import { describe, expect, it, test } from 'vitest';
import { LIMIT_FIELDS, type LimitKey } from '../../../agent/site/limit-fields.js';
import { ALARM_LIST, type ListedAlarm } from './alarm-list.js';
import { Watched } from './watched.js';

/** A value so far past the set-point, on the side of trouble where `by` is positive. */
const past = ({ trouble, limit }: ListedAlarm, by: number): number => (trouble === 'low' ? limit - by : limit + by);
const delayS = ({ on }: ListedAlarm): number => ('seconds' in on ? on.seconds : 0);
const hair = ({ limit }: ListedAlarm): number => limit * 1e-4;

/** Judges a value until the on-delay is over, one reading short of it. */
function almost(row: ListedAlarm, watched: Watched, value: number): void {
  if ('readings' in row.on) {
    for (let i = 1; i < row.on.readings; i++) watched.judge(value).pass(1);
    return;
  }
  if (row.on.seconds > 0)
    watched
      .judge(value)
      .pass(row.on.seconds - 1)
      .judge(value)
      .pass(1);
}

function raise(row: ListedAlarm, watched: Watched): void {
  almost(row, watched, past(row, 0));
  watched.judge(past(row, 0));
}

describe.each(ALARM_LIST)('$key', (row) => {
  it('is raised at its set-point at the end of its delay, with value, limit and unit', () => {
    const watched = new Watched(row.key);
    almost(row, watched, past(row, 0));
    expect(watched.said()).toEqual([]);
    watched.judge(past(row, 0));
    expect(watched.said()).toEqual([
      {
        kind: 'alarm',
        timeMs: watched.timeMs,
        conveyor: 'line',
        takeup: 'tu1',
        ...(row.side ? { side: 'left' } : {}),
        alarm: row.key,
        priority: row.priority,
        change: 'raised',
        from: 'normal',
        to: 'unacknowledged',
        value: past(row, 0),
        limit: expect.closeTo(row.limit, 9) as number,
        unit: row.unit,
      },
    ]);
  });

  it('is not raised a hair short of its set-point', () => {
    const watched = new Watched(row.key);
    almost(row, watched, past(row, -hair(row)));
    watched
      .judge(past(row, -hair(row)))
      .pass(delayS(row) + 3600)
      .judge(past(row, -hair(row)));
    expect(watched.said()).toEqual([]);
  });

  it('stays up within its deadband, and clears past it', () => {
    const watched = new Watched(row.key);
    raise(row, watched);
    watched
      .pass(3600)
      .judge(past(row, -row.deadband + hair(row)))
      .pass(3600)
      .judge(past(row, -row.deadband + hair(row)));
    expect(watched.said().map(({ change }) => change)).toEqual(['raised']);
    const value = past(row, -row.deadband - hair(row));
    watched.pass(60).judge(value);
    const sinceMs = watched.timeMs;
    if (row.offSeconds > 0) {
      expect(watched.up).toBe(true);
      watched.pass(row.offSeconds + 1).judge(value);
    }
    expect(watched.said()).toMatchObject([
      { change: 'cleared', timeMs: sinceMs + row.offSeconds * 1000, value, to: 'returned-unacknowledged' },
    ]);
  });

  it('is neither raised nor cleared by a value that is not known, which breaks its delay', () => {
    const watched = new Watched(row.key);
    almost(row, watched, past(row, 1));
    watched.judge(NaN).pass(delayS(row)).judge(past(row, 1));
    const instant = !('readings' in row.on) && row.on.seconds === 0;
    expect(watched.up).toBe(instant);
    raise(row, watched);
    watched.said();
    for (let i = 0; i < 100; i++) watched.pass(3600).judge(NaN);
    expect(watched.up).toBe(true);
    expect(watched.said()).toEqual([]);
  });

  it('that comes back before anybody took it is unacknowledged again', () => {
    const watched = new Watched(row.key);
    raise(row, watched);
    watched
      .judge(past(row, -row.deadband - 1))
      .pass(60)
      .judge(past(row, -row.deadband - 1));
    watched.said();
    raise(row, watched);
    expect(watched.said()).toMatchObject([{ change: 'raised', from: 'returned-unacknowledged', to: 'unacknowledged' }]);
  });

  it('while something suppresses it is not raised, and is as soon as that lets go', () => {
    const over = { up: true };
    const watched = new Watched(row.key, {}, [over]);
    raise(row, watched);
    for (let i = 0; i < 10; i++) watched.pass(60).judge(past(row, 1));
    expect(watched.said()).toEqual([]);
    over.up = false;
    watched.pass(1).judge(past(row, 1));
    expect(watched.said()).toMatchObject([{ change: 'raised' }]);
    expect(watched.record.sinceMs).toBe(watched.timeMs);
  });

  it('that is up stays up when something begins to suppress it, and clears as ever', () => {
    const over = { up: false };
    const watched = new Watched(row.key, {}, [over]);
    raise(row, watched);
    over.up = true;
    watched.pass(60).judge(past(row, 1));
    expect(watched.up).toBe(true);
    watched
      .judge(past(row, -row.deadband - 1))
      .pass(60)
      .judge(past(row, -row.deadband - 1));
    expect(watched.up).toBe(false);
  });

  it('takes set-point, delays and deadband from the site where it gives them', () => {
    const field = LIMIT_FIELDS[row.key as LimitKey][0].name;
    const limit = row.limit * 0.9;
    const watched = new Watched(row.key, { [field]: limit, on_delay_s: 7, off_delay_s: 3, deadband: row.limit / 2 });
    const own = { ...row, limit };
    watched.judge(past(own, 0)).pass(6).judge(past(own, 0));
    expect(watched.up).toBe(false);
    watched.pass(1).judge(past(own, 0));
    expect(watched.said()).toMatchObject([{ change: 'raised', limit: expect.closeTo(limit, 9) as number, timeMs: watched.timeMs }]);
    watched
      .pass(1)
      .judge(past(own, -0.49 * row.limit))
      .pass(9)
      .judge(past(own, -0.49 * row.limit));
    expect(watched.up).toBe(true);
    watched
      .judge(past(own, -0.51 * row.limit))
      .pass(2)
      .judge(past(own, -0.51 * row.limit));
    expect(watched.up).toBe(true);
    watched.pass(1).judge(past(own, -0.51 * row.limit));
    expect(watched.up).toBe(false);
  });
});

describe('a date, or the breathing of a carriage', () => {
  test.each(ALARM_LIST.filter(({ key }) => key.endsWith('-date') || key === 'carriage-stuck'))(
    '$key does not clear at the end of its deadband, but past it',
    (row) => {
      const watched = new Watched(row.key);
      raise(row, watched);
      watched.pass(60).judge(row.limit + row.deadband);
      expect(watched.up).toBe(true);
      watched.pass(60).judge(row.limit + row.deadband + hair(row));
      expect(watched.up).toBe(false);
    },
  );
});

describe('an alarm of either side', () => {
  test.each(ALARM_LIST.filter(({ side }) => side))('$key is up while one side is, and names the side that raised it', (row) => {
    const watched = new Watched(row.key);
    const judgeBoth = (left: number, right: number): void => {
      watched.judge(left, 1, 0).judge(right, 1, 1);
    };
    const [bad, good] = [past(row, 1), past(row, -row.deadband - 1)];
    for (let i = 0; i < 3; i++) {
      judgeBoth(good, bad);
      watched.pass(60);
    }
    expect(watched.said()).toMatchObject([{ change: 'raised', side: 'right', value: bad }]);
    for (let i = 0; i < 3; i++) {
      judgeBoth(bad, bad);
      watched.pass(60);
    }
    for (let i = 0; i < 3; i++) {
      judgeBoth(bad, good);
      watched.pass(60);
    }
    expect(watched.said()).toEqual([]);
    for (let i = 0; i < 3; i++) {
      judgeBoth(good, good);
      watched.pass(60);
    }
    expect(watched.said()).toMatchObject([{ change: 'cleared' }]);
  });
});

describe('an alarm that needs the conveyor to run', () => {
  const needing = ALARM_LIST.filter(({ needsRunning }) => needsRunning);

  test.each(needing)('$key is not raised while it stands or is not known to run', (row) => {
    for (const running of [0, NaN]) {
      const watched = new Watched(row.key);
      for (let i = 0; i < 100; i++) watched.pass(3600, false).judge(past(row, 1), running);
      expect(watched.said()).toEqual([]);
    }
  });

  test.each(needing)('$key that is up does not clear while it stands', (row) => {
    const watched = new Watched(row.key);
    raise(row, watched);
    watched.said();
    for (let i = 0; i < 100; i++) watched.pass(3600, false).judge(past(row, -row.deadband - 1), 0);
    expect(watched.said()).toEqual([]);
  });

  test.each(needing.filter(({ on }) => 'clock' in on && on.clock === 'running'))(
    '$key counts its delay in running time: standing is a pause',
    (row) => {
      const watched = new Watched(row.key);
      const half = delayS(row) / 2;
      watched.judge(past(row, 1)).pass(half).judge(past(row, 1));
      for (let i = 0; i < 10; i++) watched.pass(3600, false).judge(past(row, 1), 0);
      watched
        .judge(past(row, 1))
        .pass(half - 1)
        .judge(past(row, 1));
      expect(watched.up).toBe(false);
      watched.pass(61).judge(past(row, 1));
      // Raised at the end of the delay, a minute before the reading that showed it.
      expect(watched.said()).toMatchObject([{ change: 'raised', timeMs: watched.timeMs - 60_000 }]);
    },
  );
});

describe('an alarm without a set-point', () => {
  it('is off: no value raises it', () => {
    const watched = new Watched('signal-lost');
    expect(watched.watch.off).toBe(true);
    for (const value of [-1e9, 0, 1e9]) watched.judge(value).pass(3600).judge(value);
    expect(watched.said()).toEqual([]);
    expect(new Watched('stroke-low').watch.off).toBe(false);
  });
});

describe('rounding', () => {
  it('does not hide a set-point: 0.2 of 230 mm is 46 mm, though not quite in binary', () => {
    const watched = new Watched('stroke-low');
    watched
      .judge(230 - 184)
      .pass(60)
      .judge(230 - 184);
    expect(watched.up).toBe(true);
  });
});
