import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { readShifts, SiteSpans, SPAN_KINDS } from '../../../../web/server/logic/site-spans.js';

const OSLO = new SiteSpans('Europe/Oslo');
const HOUR_MS = 3_600_000;
const at = (text: string) => Date.parse(text);

describe('the shifts of a site', () => {
  it.each([
    ['2026-03-02T05:00:00Z', '2026-03-02 06:00–14:00', '2026-03-02T05:00:00Z', '2026-03-02T13:00:00Z'],
    ['2026-03-02T12:59:59Z', '2026-03-02 06:00–14:00', '2026-03-02T05:00:00Z', '2026-03-02T13:00:00Z'],
    ['2026-03-02T13:00:00Z', '2026-03-02 14:00–22:00', '2026-03-02T13:00:00Z', '2026-03-02T21:00:00Z'],
    // The night shift is of the day on which it begins.
    ['2026-03-03T03:00:00Z', '2026-03-02 22:00–06:00', '2026-03-02T21:00:00Z', '2026-03-03T05:00:00Z'],
  ])('%s is in %s', (instant, name, from, to) => {
    expect(OSLO.at('shift', at(instant))).toEqual({ name, fromMs: at(from), toMs: at(to) });
  });

  it('are an hour shorter and longer in the nights in which the clock is changed', () => {
    const hours = (instant: string) => {
      const { fromMs, toMs } = OSLO.at('shift', at(instant));
      return (toMs - fromMs) / HOUR_MS;
    };
    // 29 March and 25 October 2026.
    expect([hours('2026-03-29T00:30:00Z'), hours('2026-10-25T00:30:00Z'), hours('2026-06-02T00:30:00Z')]).toEqual([7, 9, 8]);
  });

  it('begin when the site says', () => {
    const twelve = new SiteSpans('UTC', readShifts('19:00, 07:00'));
    expect(twelve.at('shift', at('2026-03-02T08:00:00Z')).name).toBe('2026-03-02 07:00–19:00');
    expect(twelve.at('shift', at('2026-03-02T02:00:00Z')).name).toBe('2026-03-01 19:00–07:00');
  });

  it('that would begin in the hour that the clock skips begin after it', () => {
    const odd = new SiteSpans('Europe/Oslo', ['02:30']);
    const { fromMs, toMs } = odd.at('shift', at('2026-03-29T10:00:00Z'));
    expect([fromMs, toMs]).toEqual([at('2026-03-29T01:30:00Z'), at('2026-03-30T00:30:00Z')]);
  });

  it.each(['', '6:00', '06:00,24:00', '06:00;14:00', '06:00,06:00', '06:00,'])('do not begin at %j', (text) => {
    expect(readShifts(text)).toBeUndefined();
  });
});

describe('the days and months of a site', () => {
  it('begin at its own midnight', () => {
    expect(OSLO.at('day', at('2026-07-01T23:30:00Z'))).toEqual({
      ...{ name: '2026-07-02', fromMs: at('2026-07-01T22:00:00Z'), toMs: at('2026-07-02T22:00:00Z') },
    });
    expect(OSLO.at('month', at('2026-02-28T23:30:00Z'))).toEqual({
      ...{ name: '2026-03', fromMs: at('2026-02-28T23:00:00Z'), toMs: at('2026-03-31T22:00:00Z') },
    });
    expect(OSLO.at('month', at('2026-12-15T12:00:00Z')).toMs).toBe(at('2026-12-31T23:00:00Z'));
  });

  it('are those of the date also where the clocks are half a day from noon in Greenwich', () => {
    for (const zone of ['Pacific/Kiritimati', 'Pacific/Apia', 'Pacific/Niue', 'Asia/Beirut']) {
      const spans = new SiteSpans(zone);
      expect(spans.at('day', spans.startOf('2026-03-29')).name).toBe('2026-03-29');
      expect(spans.at('day', spans.startOf('2026-03-29') - 1).name).toBe('2026-03-28');
    }
  });
});

describe('whatever the zone and the instant', () => {
  const zones = fc.constantFrom('UTC', 'Europe/Oslo', 'America/Chicago', 'Asia/Kolkata', 'Australia/Lord_Howe', 'Pacific/Apia');
  const starts = fc
    .uniqueArray(fc.integer({ min: 0, max: 95 }), { minLength: 1, maxLength: 6 })
    .map((quarters) =>
      quarters.map((q) => `${String(Math.floor(q / 4)).padStart(2, '0')}:${String((q % 4) * 15).padStart(2, '0')}`).toSorted(),
    );

  it('a span holds its instant, and the spans before it join without a gap', () => {
    fc.assert(
      fc.property(zones, starts, fc.constantFrom(...SPAN_KINDS), fc.integer({ min: 1.6e12, max: 1.9e12 }), (zone, shifts, kind, atMs) => {
        const spans = new SiteSpans(zone, shifts).upTo(kind, atMs, 4);
        const last = spans.at(-1);
        expect(last !== undefined && last.fromMs <= atMs && atMs < last.toMs).toBe(true);
        for (const [index, span] of spans.entries()) if (index > 0) expect(span.fromMs).toBe(spans[index - 1]?.toMs);
      }),
      { numRuns: 200 },
    );
  });
});
