import { describe, expect, it } from 'vitest';
import { rulerWords, takeupSentence } from '../../../../web/client/logic/takeup-sentence.js';
import { alarmOf, nowOf } from '../../a-takeup.js';

const plain = (text: string) => text.replaceAll('\u00a0', ' ');

describe('a take-up in words', () => {
  it('says where it stands, where it goes, and that all is well', () => {
    expect(plain(takeupSentence(nowOf({ positionMm: 181 }), [], 'metric'))).toBe(
      'The carriage stands 49 mm before its outer stop. It reaches the stop about 2026-09-12, 2026-07-30 at the earliest, 2026-11-20 at the latest. Nothing is out of the ordinary.',
    );
  });

  it('says of a sensor that reads more than the stroke that the carriage stands beyond its stop', () => {
    expect(plain(takeupSentence(nowOf({ positionMm: 233 }), [], 'metric'))).toContain('stands 3 mm beyond its outer stop.');
  });

  it('says what is not known, why there is no date, and what is wrong', () => {
    const lost = { unknown: 'signal-lost' } as const;
    const trend = { ...nowOf().trend, strokeOut: null, why: '3 of 7 daily values.' };
    const now = { ...nowOf(), remainingMm: lost, trend, service: { since: '2026-03-02T08:00:00Z' } };
    const alarms = [
      { id: 'a', ...alarmOf({ alarm: 'signal-lost' }) },
      { id: 'b', ...alarmOf({ state: 'shelved' }) },
    ];
    expect(takeupSentence(now, alarms, 'metric')).toBe(
      'Where the carriage stands is not known: sensor silent. 3 of 7 daily values. Out of the ordinary: sensor silent. A service is open on it.',
    );
  });

  it('says of a stroke that is used up since when, and of springs alone when they go slack', () => {
    const trend = { ...nowOf().trend, strokeOut: { date: '2026-02-20', early: '2026-02-20', late: '2026-02-20' } };
    expect(takeupSentence({ ...nowOf(), trend }, [], 'metric')).toContain('Its stroke has been used up since 2026-02-20.');
    const slack = {
      ...{ ...nowOf().trend, strokeOut: null, why: 'More days will tell.' },
      springSlack: { date: '2026-05-02', early: '2026-04-02', late: null },
      first: { what: 'spring-slack', callsFor: 're-tension' } as const,
    };
    expect(takeupSentence({ ...nowOf(), trend: slack }, [], 'metric')).toContain(
      'More days will tell. About 2026-05-02 its springs go slack: re-tension it.',
    );
  });

  it('says that an elongation is provisional', () => {
    const now = nowOf();
    expect(takeupSentence({ ...now, chain: { ...now.chain, provisional: true } }, [], 'metric')).toContain('Its elongation is provisional');
  });

  it('says what comes before the stop, and when', () => {
    const trend = {
      ...nowOf().trend,
      strokeOut: { date: '2026-09-12', early: '2026-07-30', late: null },
      springSlack: { date: '2026-06-01', early: '2026-05-01', late: null },
      first: { what: 'spring-slack', callsFor: 're-tension' } as const,
    };
    const text = takeupSentence({ ...nowOf(), running: false, trend }, [], 'metric');
    expect(text).toContain('with no latest date. Before that, about 2026-06-01 its springs go slack: re-tension it.');
    expect(text).toContain('the conveyor standing');
  });
});

describe('a ruler in words', () => {
  it('has stroke and sides for those who do not see it', () => {
    expect(plain(rulerWords(nowOf({ positionMm: 181 }), 230, 'imperial'))).toBe(
      'The carriage stands 1.9 in before its outer stop. Stroke 9.1 in, left side at 7.1 in, right side at 7.1 in.',
    );
    expect(plain(rulerWords(undefined, 230, 'metric'))).toBe('Stroke 230 mm; where the carriage stands is not known yet.');
  });
});
