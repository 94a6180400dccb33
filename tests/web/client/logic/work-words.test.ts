import { describe, expect, it } from 'vitest';
import { SERVICE_KINDS } from '../../../../agent/contract/service-entry.js';
import { FINDING_KEYS } from '../../../../agent/flow/output.js';
import { entrySentence, entryWords, findingWords, kindWords } from '../../../../web/client/logic/work-words.js';

describe('what was done, in words', () => {
  it.each([
    [{ kind: 'chain-removed', pitches: 2 }, '2 pitches taken out'],
    [{ kind: 'chain-removed', pitches: 1, carriers: 1 }, '1 pitch taken out, 1 carrier with them'],
    [{ kind: 'chain-inserted', pitches: 40 }, '40 pitches put in'],
    [{ kind: 'chain-replaced', pitches: 3200 }, 'chain replaced by one of 3200 pitches'],
    [{ kind: 'nut-turned', side: 'left', turns: 2.5 }, 'left nut tightened by 2.50 turns'],
    [{ kind: 'nut-turned', side: 'right', turns: -1 }, 'right nut slackened by 1 turn'],
    [{ kind: 'nut-turned', side: 'left', spring_mm: 240 }, 'left spring set to 240.0\u00a0mm'],
    [{ kind: 'spring-replaced', side: 'left', spring: {}, spring_mm: 250 }, 'left spring replaced, set to 250.0\u00a0mm'],
    [{ kind: 'sensor-rezeroed', side: 'right', position_mm: 12 }, 'right position sensor set anew, reads 12.0\u00a0mm'],
    [{ kind: 'lubricated' }, 'chain lubricated'],
    [
      { kind: 'inspected', rock: 'excessive', restraint_nuts: 'in', noise: true, filings: false, note: 'look again' },
      'inspected, chain rocks too much, restraint nuts run in, noise, no filings, look again',
    ],
    [
      { kind: 'inspected', rock: 'ok', restraint_nuts: 'out', filings: 'some' },
      'inspected, rock of the chain in order, restraint nuts out, filings: some',
    ],
    [{ kind: 'service-opened' }, 'service begun'],
    [{ kind: 'service-closed' }, 'service ended'],
    [{ kind: 'note', text: 'guard is bent' }, 'guard is bent'],
    [{ kind: 'painted' }, 'painted'],
  ])('%j', (entry, words) => {
    expect(entryWords(entry, 'metric')).toBe(words);
  });

  it('are in the units of the reader', () => {
    expect(entrySentence({ kind: 'nut-turned', side: 'left', spring_mm: 254 }, 'imperial')).toBe('Left spring set to 10.00\u00a0in');
  });

  it('there are for every kind and every finding, none of them a key', () => {
    for (const kind of SERVICE_KINDS) expect(kindWords(kind)).toMatch(/^[A-Z][a-z ]+$/);
    for (const key of FINDING_KEYS) expect(findingWords(key)).toMatch(/^[A-Z][a-z, ]+$/);
  });

  it('of a newer agent are shown by their own names', () => {
    expect([kindWords('belt-glued'), findingWords('track-bent')]).toEqual(['belt glued', 'track bent']);
  });
});
