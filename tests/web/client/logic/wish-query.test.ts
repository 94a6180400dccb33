import { describe, expect, it } from 'vitest';
import { readWish, WISH_NAMES } from '../../../../web/client/logic/wish-query.js';
import { readPlanQuery } from '../../../../web/server/logic/plan-query.js';

describe('what is wished of a plan', () => {
  it('leaves to the plan what nobody typed', () => {
    expect(readWish({ typed: {}, keepEveryCarrier: false }, 'metric')).toEqual({ query: {}, faults: {} });
  });

  it('is typed in the units of the reader', () => {
    // 1 in = 25.4 mm and 1 lbf = 4.4482216152605 N, exactly (1959 agreement, standard gravity).
    const { query } = readWish({ typed: { targetTensionN: '200', handlingSlackMm: '3' }, keepEveryCarrier: true }, 'imperial');
    expect(query).toEqual({ targetTensionN: '889.644', handlingSlackMm: '76.2', keepEveryCarrier: 'true' });
  });

  it('says what is wrong with a number and plans without it', () => {
    const typed = { targetTensionN: '0', coldContractionMm: '-3', handlingSlackMm: 'much', springLeftMm: '0' };
    const read = readWish({ typed, keepEveryCarrier: false }, 'metric');
    expect(Object.keys(read.faults).toSorted()).toEqual(['coldContractionMm', 'handlingSlackMm', 'springLeftMm', 'targetTensionN']);
    expect(read.query).toEqual({});
  });

  it('is what the server knows', () => {
    const typed = Object.fromEntries(WISH_NAMES.map((name) => [name, '1.5']));
    expect(readPlanQuery(readWish({ typed, keepEveryCarrier: true }, 'metric').query)).toMatchObject({ ok: true });
  });
});
