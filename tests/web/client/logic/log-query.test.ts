import { describe, expect, it } from 'vitest';
import { logQuery, NO_FILTER } from '../../../../web/client/logic/log-query.js';
import { filteredLog } from '../../../../web/server/logic/log-query.js';

const OSLO = 'Europe/Oslo';

describe('the log of the site', () => {
  it('is asked for whole where nothing narrows it', () => {
    expect(logQuery(NO_FILTER, OSLO)).toBe('');
    expect(logQuery({ ...NO_FILTER, by: '  ', words: ' ' }, OSLO)).toBe('');
  });

  it('is narrowed down by place, kind, who and words', () => {
    const query = logQuery({ ...NO_FILTER, conveyor: 'line 1', kind: 'note', by: ' kari ', words: 'pin tight', state: 'corrected' }, OSLO);
    expect(Object.fromEntries(new URLSearchParams(query))).toEqual({
      ...{ conveyor: 'line 1', kinds: 'note', by: 'kari', text: 'pin tight', state: 'corrected' },
    });
  });

  it('takes whole days of the site’s clock, the last with it, also the one on which the clock goes forward', () => {
    const query = Object.fromEntries(new URLSearchParams(logQuery({ ...NO_FILTER, from: '2026-03-29', to: '2026-03-29' }, OSLO)));
    // Summer time begins in Norway on 29 March 2026 at 02:00: that day has 23 hours.
    expect(Number(query['toMs']) - Number(query['fromMs'])).toBe(23 * 3_600_000);
    const at = (time: string) => ({ id: time, timeMs: Date.parse(time), takenMs: 0, conveyor: 'line1', entry: {} });
    const log = ['2026-03-28T22:59:00Z', '2026-03-28T23:00:00Z', '2026-03-29T21:59:00Z', '2026-03-29T22:00:00Z'].map(at);
    expect(filteredLog(log, query).map(({ id }) => id)).toEqual(['2026-03-28T23:00:00Z', '2026-03-29T21:59:00Z']);
  });
});
