import { describe, expect, it } from 'vitest';
import { ALARM_DEFINITIONS } from '../../../../agent/flow/alarm/definitions.js';
import { ALARM_TEXTS } from '../../../../agent/flow/alarm/texts.js';
import { siteAnswer } from '../../../../web/server/logic/site-answer.js';
import { siteWith } from '../../a-site.js';

const ALARM_LIST = { definitions: ALARM_DEFINITIONS, texts: ALARM_TEXTS };

describe('the site for screens', () => {
  it('has the set-points of each take-up worked out', () => {
    const [conveyor] = siteAnswer(siteWith(1), ALARM_LIST).conveyors;
    expect(conveyor?.takeups[0]?.setPoints).toMatchObject({
      'stroke-low': 46,
      'stroke-end': 11.5,
      'spring-near-solid': 162,
      'spring-solid': 151,
      'tension-low': 250,
    });
  });

  it('has those that the site file gives in the place of the usual', () => {
    const [conveyor] = siteAnswer(siteWith(1, 'limits: { stroke-low: { remaining_mm: 60 } }'), ALARM_LIST).conveyors;
    expect(conveyor?.takeups[0]?.setPoints).toMatchObject({ 'stroke-low': 60, 'stroke-end': 11.5 });
  });

  it('has words for every alarm', () => {
    const { alarms } = siteAnswer(siteWith(1), ALARM_LIST);
    expect(alarms).toHaveLength(ALARM_DEFINITIONS.length);
    expect(alarms.every(({ seen, consequence, action }) => seen !== '' && consequence !== '' && action !== '')).toBe(true);
  });
});
