import { describe, expect, it } from 'vitest';
import { earliest } from '../../../agent/flow/trend/forecast.js';

const on = (date: string) => ({ date, early: date, late: null });

describe('what comes first', () => {
  it('calls for re-tensioning, shortening or replacement', () => {
    const dates = { strokeOut: on('2026-09-01'), springSlack: on('2026-08-01'), wearLimit: on('2027-01-01') };
    expect(earliest(dates)).toMatchObject({ what: 'spring-slack', callsFor: 're-tension' });
    expect(earliest({ ...dates, springSlack: null })).toMatchObject({ what: 'stroke-out', callsFor: 'shorten' });
    expect(earliest({ ...dates, springSlack: null, strokeOut: null })).toMatchObject({ what: 'wear-limit', callsFor: 'replace' });
  });

  it('is nothing where there is no date', () => {
    expect(earliest({ strokeOut: null, springSlack: null, wearLimit: null })).toBeUndefined();
  });

  it('is the greater work of those on one day: a worn chain is replaced, not shortened', () => {
    const day = on('2026-08-01');
    expect(earliest({ strokeOut: day, springSlack: day, wearLimit: day })).toMatchObject({ callsFor: 'replace' });
    expect(earliest({ strokeOut: day, springSlack: day, wearLimit: null })).toMatchObject({ callsFor: 'shorten' });
  });
});
