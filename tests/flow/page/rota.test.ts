import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { onCallAt } from '../../../agent/flow/page/rota.js';
import type { Rota } from '../../../agent/site/site.js';
import { instantOfLocal } from '../../../agent/units/local-instant.js';

const OSLO = 'Europe/Oslo';
const ROTA: Rota = {
  people: ['marta', 'jonas', 'ingrid'],
  handOverDay: 0,
  handOverAt: '07:00',
  firstDate: '2026-01-05',
  overrides: [],
};
const at = (text: string): number => Date.parse(text);
const who = (text: string, rota: Rota = ROTA): string | undefined => onCallAt(rota, OSLO, at(text))?.person;

describe('the rota', () => {
  it('hands over on the weekday and hour of the site, winter and summer', () => {
    expect(who('2026-01-12T05:59:59Z')).toBe('marta');
    expect(who('2026-01-12T06:00:00Z')).toBe('jonas');
    expect(who('2026-07-06T04:59:59Z')).toBe('jonas');
    expect(who('2026-07-06T05:00:00Z')).toBe('ingrid');
  });

  it('has nobody before its first week, and goes round', () => {
    expect(who('2026-01-05T05:59:00Z')).toBeUndefined();
    expect(who('2026-01-05T06:00:00Z')).toBe('marta');
    expect(who('2026-01-26T06:00:00Z')).toBe('marta');
  });

  it('gives a stretch to whom it was swapped, the later swap winning, and says who comes next', () => {
    const swap = (from: string, to: string, person: string) => ({ fromMs: at(from), toMs: at(to), person });
    const rota = {
      ...ROTA,
      overrides: [
        swap('2026-01-06T00:00:00Z', '2026-01-09T00:00:00Z', 'jonas'),
        swap('2026-01-07T00:00:00Z', '2026-01-08T00:00:00Z', 'ingrid'),
      ],
    };
    expect(onCallAt(rota, OSLO, at('2026-01-06T12:00:00Z'))).toEqual({ person: 'jonas', by: 'swap', next: 'ingrid' });
    expect(onCallAt(rota, OSLO, at('2026-01-07T12:00:00Z'))).toEqual({ person: 'ingrid', by: 'swap', next: 'jonas' });
    expect(onCallAt(rota, OSLO, at('2026-01-09T00:00:00Z'))).toEqual({ person: 'marta', by: 'turn', next: 'jonas' });
  });

  it('has nobody to follow where one person is alone on it', () => {
    expect(onCallAt({ ...ROTA, people: ['marta'] }, OSLO, at('2026-02-01T00:00:00Z'))).toEqual({
      person: 'marta',
      by: 'turn',
      next: undefined,
    });
  });

  it('hands over once where the clock shows the hour twice', () => {
    // Oslo, 2026-10-25: 03:00 summer time becomes 02:00.
    const sunday = { ...ROTA, handOverDay: 6, handOverAt: '02:30' };
    const before = who('2026-10-25T00:29:00Z', sunday);
    const after = who('2026-10-25T00:30:00Z', sunday);
    expect(after).not.toBe(before);
    for (const later of ['2026-10-25T01:00:00Z', '2026-10-25T01:15:00Z', '2026-10-25T01:45:00Z']) expect(who(later, sunday)).toBe(after);
  });

  it('hands over when the clock leaps over the hour', () => {
    // Oslo, 2026-03-29: 02:00 becomes 03:00, so 02:30 is never shown.
    const sunday = { ...ROTA, handOverDay: 6, handOverAt: '02:30' };
    expect(who('2026-03-29T00:59:59Z', sunday)).not.toBe(who('2026-03-29T01:00:00Z', sunday));
    expect(who('2026-03-29T01:00:00Z', sunday)).toBe(who('2026-04-05T00:29:00Z', sunday));
  });
});

const ZONES = [OSLO, 'America/New_York', 'Australia/Lord_Howe', 'America/Santiago', 'Asia/Kathmandu', 'Pacific/Apia', 'UTC'];

/** What the wall clock says, asked of the system and of nothing of ours. */
function wall(timezone: string, ms: number): { readonly weekday: string; readonly time: string } {
  const text = new Intl.DateTimeFormat('en-GB', {
    timeZone: timezone,
    weekday: 'long',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  }).format(ms);
  const [weekday = '', time = ''] = text.split(/,? (?=\d)/u);
  return { weekday: weekday.toLowerCase(), time };
}

const STRIDE_MS = 9 * 3_600_000;

/** The first minute from which `holds`, which is false at the beginning and true at the end. */
function changeWithin(fromMs: number, toMs: number, holds: (ms: number) => boolean): number {
  let [low, high] = [fromMs / 60_000, toMs / 60_000];
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (holds(middle * 60_000)) high = middle;
    else low = middle;
  }
  return high * 60_000;
}

const DAYS = ['monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday'];

test.each(ZONES)('in %s a year of weeks changes hands once a week, at the hour on the wall, summer time or not', (timezone) => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 6 }), fc.integer({ min: 0, max: 95 }), fc.integer({ min: 2, max: 5 }), (day, quarter, count) => {
      const handOverAt = `${String(Math.floor(quarter / 4)).padStart(2, '0')}:${String((quarter % 4) * 15).padStart(2, '0')}`;
      const people = Array.from({ length: count }, (_, index) => `p${index}`);
      const firstDate = `2026-01-${String(5 + day).padStart(2, '0')}`;
      const rota: Rota = { people, handOverDay: day, handOverAt, firstDate, overrides: [] };
      const startMs = instantOfLocal(firstDate, handOverAt, timezone);
      let last = onCallAt(rota, timezone, startMs)?.person;
      let turns = 0;
      expect(last).toBe('p0');
      for (let ms = startMs; ms < startMs + 364 * 86_400_000; ms += STRIDE_MS) {
        const person = onCallAt(rota, timezone, ms)?.person;
        if (person === last) continue;
        turns++;
        expect(person).toBe(people[turns % count]);
        const { weekday, time } = wall(
          timezone,
          changeWithin(ms - STRIDE_MS, ms, (at) => onCallAt(rota, timezone, at)?.person === person),
        );
        expect(weekday).toBe(DAYS[day]);
        // The hour itself, or the first one shown after it where the clock leapt over it.
        expect(time >= handOverAt && time <= plusHour(handOverAt), `${timezone} ${weekday} ${time} for ${handOverAt}`).toBe(true);
        last = person;
      }
      expect(turns).toBeGreaterThanOrEqual(51);
      expect(turns).toBeLessThanOrEqual(52);
    }),
    { numRuns: 3 },
  );
});

function plusHour(time: string): string {
  const [hours = 0, minutes = 0] = time.split(':').map(Number);
  return hours === 23 ? '23:59' : `${String(hours + 1).padStart(2, '0')}:${String(minutes).padStart(2, '0')}`;
}
