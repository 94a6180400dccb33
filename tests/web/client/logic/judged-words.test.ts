import { describe, expect, it } from 'vitest';
import type { SpanFigures } from '../../../../web/server/logic/judge-alarms.js';
import { judgedFigures, priorityShares, shareWords } from '../../../../web/client/logic/judged-words.js';

const QUIET: SpanFigures = {
  ...{ name: '2026-03-02', fromMs: 0, toMs: 86_400_000, alarms: 0, perPeriod: 0, peakPeriod: 0, overShare: 0, frequentShare: null },
  ...{ byPriority: { urgent: 0, high: 0, medium: 0, low: 0 }, chattering: 0, fleeting: 0, stale: 0, standing: 0, standingPeak: 0 },
  ...{ acknowledged: 0, acknowledgeMedianMs: null, acknowledgeP90Ms: null, unacknowledged: 0 },
};
const missedBy = (different: Partial<SpanFigures>) =>
  judgedFigures({ ...QUIET, ...different }).flatMap(({ name, missed }) => (missed ? [name.split(':')[0]] : []));

describe('figures beside what is aimed at', () => {
  it('miss nothing on a quiet day', () => {
    expect(missedBy({})).toEqual([]);
  });

  // The aims: from memory of the tables of IEC 62682 and ISA-18.2 [M].
  it.each<[Partial<SpanFigures>, string[]]>([
    [{ perPeriod: 2 }, []],
    [{ perPeriod: 2.01 }, ['Alarms in 10 minutes, on average']],
    [{ peakPeriod: 10 }, []],
    [{ peakPeriod: 11 }, ['Most alarms in 10 minutes']],
    [{ overShare: 0.009 }, []],
    [{ overShare: 0.01 }, ['10-minute periods with more than 10']],
    [{ alarms: 99, frequentShare: 1 }, []],
    [{ alarms: 100, frequentShare: 0.06 }, ['Share of the ten most frequent']],
    [{ chattering: 3, fleeting: 1 }, ['Chattering', 'Fleeting']],
    [{ stale: 4 }, []],
    [{ stale: 5 }, ['Stale']],
  ])('of %o miss %j', (different, missed) => {
    expect(missedBy(different)).toEqual(missed);
  });

  it('are shares in per cent, and a dash where there is nothing to share', () => {
    expect([shareWords(null), shareWords(0), shareWords(0.0123), shareWords(0.5)]).toEqual(['–', '0 %', '1.2 %', '50 %']);
    const shares = priorityShares({ ...QUIET, alarms: 4, byPriority: { urgent: 1, high: 0, medium: 0, low: 3 } });
    expect(shares.map(({ share }) => share)).toEqual([0.25, 0, 0, 0.75]);
    expect(priorityShares(QUIET).map(({ share }) => share)).toEqual([null, null, null, null]);
  });
});
