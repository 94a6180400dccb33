import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseServiceEntry } from '../../agent/contract/parse-service-entry.js';
import { applyCorrections } from '../../agent/contract/service-entry-corrections.js';
import { serviceEntryToJson, type ServiceEntry } from '../../agent/contract/service-entry.js';
import { siteOfTwo } from './sites.js';

type Json = Readonly<Record<string, unknown>>;

const SITE = siteOfTwo();

/** A day of March 2026, 08:00 UTC. */
const day = (number: number) => `2026-03-${String(number).padStart(2, '0')}T08:00:00Z`;

const REMOVAL = { id: 'e1', time: day(1), conveyor: 'enamel', kind: 'chain-removed', pitches: 12 };
const NUT = { id: 'n1', time: day(2), conveyor: 'enamel', takeup: 'tu1', kind: 'nut-turned', side: 'left', turns: 2 };

function parsed(json: Json): ServiceEntry {
  const read = parseServiceEntry(json, SITE);
  if (!read.ok) throw new Error(read.message);
  return read.entry;
}

function correction(number: number, replaces: string, changes: Json): Json {
  return { time: day(number), kind: 'correction', replaces, ...changes };
}

/** What was done in the end, in the contract's own form. */
function corrected(...lines: readonly Json[]) {
  return applyCorrections(lines.map(parsed), SITE).entries.map(serviceEntryToJson);
}

function refusals(...lines: readonly Json[]) {
  return applyCorrections(lines.map(parsed), SITE).refused.map(({ message }) => message);
}

describe('a correction', () => {
  it('overwrites the fields that it names and leaves the others', () => {
    expect(corrected(REMOVAL, correction(5, 'e1', { pitches: 10, conveyor: 'enamel', by: 'shift B' }))).toEqual([
      { time: day(1), conveyor: 'enamel', kind: 'chain-removed', pitches: 10, id: 'e1' },
    ]);
  });

  it('moves the entry by its field at', () => {
    expect(corrected(REMOVAL, correction(5, 'e1', { at: '2026-02-20T09:00:00+01:00' }))).toMatchObject([
      { time: '2026-02-20T08:00:00Z', pitches: 12 },
    ]);
  });

  it('strikes the entry out', () => {
    expect(corrected(REMOVAL, NUT, correction(5, 'e1', { withdraw: true }))).toEqual(
      [NUT].map((json) => expect.objectContaining({ id: json.id }) as unknown),
    );
  });

  it('wins over an earlier one, whichever line it stands on, and over an earlier striking out', () => {
    const early = correction(5, 'e1', { pitches: 10 });
    const late = correction(6, 'e1', { pitches: 8 });
    expect(corrected(REMOVAL, late, early)).toMatchObject([{ pitches: 8 }]);
    expect(corrected(REMOVAL, correction(5, 'e1', { withdraw: true }), late)).toMatchObject([{ pitches: 8 }]);
    expect(corrected(REMOVAL, early, correction(6, 'e1', { withdraw: true }))).toEqual([]);
  });

  it('joins with an earlier one where they name different fields', () => {
    expect(corrected(REMOVAL, correction(5, 'e1', { pitches: 10 }), correction(6, 'e1', { carriers: 1 }))).toMatchObject([
      { pitches: 10, carriers: 1 },
    ]);
  });

  it('puts the length of a spring in the place of turns, and the other way about', () => {
    const [nut] = corrected(NUT, correction(5, 'n1', { spring_mm: 244 }));
    expect(nut).toMatchObject({ spring_mm: 244 });
    expect(nut).not.toHaveProperty('turns');
    expect(corrected(NUT, correction(5, 'n1', { spring_mm: 244 }), correction(6, 'n1', { turns: 1 }))).toMatchObject([{ turns: 1 }]);
  });

  it('takes a field away by null', () => {
    const [removal] = corrected({ ...REMOVAL, carriers: 2 }, correction(5, 'e1', { carriers: null }));
    expect(removal).not.toHaveProperty('carriers');
  });

  it('may move the entry to another take-up', () => {
    expect(corrected(NUT, correction(5, 'n1', { conveyor: 'dryer', takeup: 'south' }))).toMatchObject([
      { conveyor: 'dryer', takeup: 'south', turns: 2 },
    ]);
  });
});

describe('a correction of a correction', () => {
  const first = { ...correction(5, 'e1', { pitches: 10, at: day(3) }), id: 'c1' };

  it('overwrites what that one says', () => {
    expect(corrected(REMOVAL, first, correction(6, 'c1', { pitches: 8 }))).toMatchObject([{ pitches: 8, time: day(3) }]);
  });

  it('sets by at the time of the entry, not of the correction between', () => {
    expect(corrected(REMOVAL, first, correction(6, 'c1', { at: day(4) }))).toMatchObject([{ pitches: 10, time: day(4) }]);
  });

  it('undoes it by withdraw, so that the entry stands as it was', () => {
    expect(corrected(REMOVAL, first, correction(6, 'c1', { withdraw: true }))).toMatchObject([{ pitches: 12, time: day(1) }]);
  });

  it('takes a striking out back', () => {
    const struck = { ...correction(5, 'e1', { withdraw: true }), id: 'c1' };
    expect(corrected(REMOVAL, struck)).toEqual([]);
    expect(corrected(REMOVAL, struck, correction(6, 'c1', { withdraw: true }))).toMatchObject([{ pitches: 12 }]);
    expect(corrected(REMOVAL, struck, correction(6, 'c1', { pitches: 9 }))).toMatchObject([{ pitches: 9 }]);
  });

  it('goes down any number of steps', () => {
    const second = { ...correction(6, 'c1', { pitches: 8 }), id: 'c2' };
    expect(corrected(REMOVAL, first, second, correction(7, 'c2', { pitches: 6 }))).toMatchObject([{ pitches: 6 }]);
    expect(corrected(REMOVAL, first, second, correction(7, 'c2', { withdraw: true }))).toMatchObject([{ pitches: 10 }]);
  });
});

describe('a correction that does not apply', () => {
  it('is set aside in a sentence, and the entry stays as it was', () => {
    const lines = [REMOVAL, correction(5, 'e1', { turns: 3 })];
    expect(corrected(...lines)).toEqual([expect.objectContaining({ pitches: 12 })]);
    expect(refusals(...lines)).toEqual([
      'the corrected entry would not be valid: chain-removed has no field "turns"; it has kind, time, conveyor, takeup, id, by, pitches, carriers',
    ]);
    expect(refusals(REMOVAL, correction(5, 'e1', { pitches: -1 }))).toEqual([
      'the corrected entry would not be valid: pitches is -1; it must be a whole number from 1 up',
    ]);
    expect(refusals(NUT, correction(5, 'n1', { conveyor: 'dryer' }))).toEqual([
      'the corrected entry would not be valid: there is no take-up "tu1" (there is north, south) on dryer',
    ]);
  });

  it('is set aside where it names no entry', () => {
    expect(refusals(REMOVAL, correction(5, 'e2', { pitches: 3 }))).toEqual(['it replaces "e2", and no entry has that id']);
  });

  it('is set aside where corrections replace one another and no entry', () => {
    const ring = [
      { ...correction(5, 'c2', { pitches: 3 }), id: 'c1' },
      { ...correction(6, 'c1', { pitches: 4 }), id: 'c2' },
    ];
    expect(refusals(REMOVAL, ...ring)).toEqual([
      'it replaces "c2", which in the end replaces it; one of them must name the entry that is meant',
      'it replaces "c1", which in the end replaces it; one of them must name the entry that is meant',
    ]);
    expect(corrected(REMOVAL, ...ring)).toMatchObject([{ pitches: 12 }]);
  });
});

describe('entries under one id', () => {
  it('count once where they are the same: delivered twice', () => {
    expect(corrected(REMOVAL, NUT, REMOVAL)).toHaveLength(2);
    expect(refusals(REMOVAL, NUT, REMOVAL)).toEqual([]);
  });

  it('are refused where they differ, and neither is lost', () => {
    const lines = [REMOVAL, { ...NUT, id: 'e1' }];
    expect(corrected(...lines)).toHaveLength(2);
    expect(refusals(...lines)).toEqual(['the id "e1" is taken by another entry; give it one of its own']);
  });

  it('are each a piece of work where they have no id', () => {
    const unnamed = { time: day(1), conveyor: 'enamel', kind: 'lubricated' };
    expect(corrected(unnamed, unnamed)).toHaveLength(2);
  });
});

describe('entries of one time', () => {
  it('stand with the opening of the service first and its closing last', () => {
    const at = { time: day(1), conveyor: 'enamel', takeup: 'tu1' };
    const kinds = corrected(
      { ...at, kind: 'service-closed' },
      { ...at, kind: 'chain-removed', pitches: 2 },
      { ...at, kind: 'service-opened' },
    ).map(({ kind }) => kind);
    expect(kinds).toEqual(['service-opened', 'chain-removed', 'service-closed']);
  });
});

describe('the order of the lines', () => {
  const ids = ['e1', 'n1', 'c1', 'c2', 'c3', 'nobody'];
  const work = fc.constantFrom<Json>(REMOVAL, NUT, { ...REMOVAL, id: 'c3' }, { time: day(1), conveyor: 'enamel', kind: 'lubricated' });
  const changes = fc.constantFrom<Json>(
    { pitches: 10 },
    { pitches: 8, carriers: 1 },
    { turns: 1 },
    { spring_mm: 240 },
    { withdraw: true },
    { withdraw: false },
    { at: day(9) },
    { pitches: 0 },
  );
  const change = fc
    .record({
      number: fc.integer({ min: 3, max: 6 }),
      replaces: fc.constantFrom(...ids),
      changes,
      id: fc.option(fc.constantFrom('c1', 'c2', 'c3'), { nil: undefined }),
    })
    .map(({ number, replaces, changes: said, id }) => ({ ...correction(number, replaces, said), ...(id === undefined ? {} : { id }) }));

  it('does not matter, whatever corrects what', () => {
    const lines = fc.tuple(fc.array(work, { maxLength: 4 }), fc.array(change, { maxLength: 8 })).map(([done, said]) => [...done, ...said]);
    const shuffled = lines.chain((all) => fc.tuple(fc.constant(all), fc.shuffledSubarray(all, { minLength: all.length })));
    fc.assert(
      fc.property(shuffled, ([inOrder, anyhow]) => {
        expect(applyCorrections(anyhow.map(parsed), SITE)).toEqual(applyCorrections(inOrder.map(parsed), SITE));
      }),
      { numRuns: 500 },
    );
  });
});
