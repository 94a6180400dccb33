import { describe, expect, it } from 'vitest';
import { readServiceEntry } from '../../../../agent/contract/parse-service-entry.js';
import { draftOfEntry, formKindOf, readCorrection } from '../../../../web/client/logic/correction-draft.js';
import type { Place } from '../../../../web/client/logic/entry-place.js';
import type { EntryAnswer } from '../../../../web/server/logic/work-answers.js';

const SPRING = { freeMm: 320, rateNPerMm: 18, solidMm: 150, clearanceMm: 12, perSide: 2 };
const PLACE: Place = { conveyor: { id: 'line1', chain: { repeatPitches: 2 } }, takeup: { id: 'tu1', spring: SPRING, nutLeadMm: 3 } };
const METRIC = { place: PLACE, units: 'metric', timezone: 'Europe/Oslo' } as const;
const IMPERIAL = { ...METRIC, units: 'imperial' } as const;

function entryOf(fields: Readonly<Record<string, unknown>>): EntryAnswer {
  const time = '2026-03-02T08:41:00Z';
  const entry = { time, conveyor: 'line1', ...fields };
  return { id: 'e1', timeMs: Date.parse(time), takenMs: Date.parse(time), conveyor: 'line1', by: 'ola', entry };
}

function correct(
  fields: Readonly<Record<string, unknown>>,
  change: Readonly<Record<string, string>>,
  context: typeof METRIC | typeof IMPERIAL = METRIC,
) {
  const entry = entryOf(fields);
  const kind = formKindOf(entry.entry);
  if (kind === undefined) throw new Error('the form knows it');
  const first = draftOfEntry(entry, kind, context);
  const { time = first.time, ...typed } = change;
  return readCorrection(first, { ...first, time, typed: { ...first.typed, ...typed } }, context);
}

const HEAD = { time: '2026-03-03T10:00:00Z', conveyor: 'line1', kind: 'correction', replaces: 'e1', id: 'c' };

describe('a correction', () => {
  it('says only what differs', () => {
    const read = correct({ kind: 'chain-removed', pitches: 2 }, { pitches: '4' });
    expect(read).toEqual({ ok: true, changes: { pitches: 4 } });
  });

  it('gives the work another time as `at`, and keeps its own', () => {
    const read = correct({ kind: 'lubricated' }, { time: '2026-03-01T07:30' });
    expect(read).toEqual({ ok: true, changes: { at: '2026-03-01T06:30:00Z' } });
  });

  it('takes a field away that was emptied, and puts the other way of saying a nut in its place', () => {
    const nut = { kind: 'nut-turned', takeup: 'tu1', side: 'left', turns: 2 };
    expect(correct(nut, { turns: '', spring_mm: '240' })).toEqual({ ok: true, changes: { turns: null, spring_mm: 240 } });
    expect(correct({ kind: 'chain-removed', pitches: 2, carriers: 1 }, { carriers: '' })).toEqual({
      ok: true,
      changes: { carriers: null },
    });
  });

  it('does not move a length by its rounding to inches', () => {
    const nut = { kind: 'nut-turned', takeup: 'tu1', side: 'left', spring_mm: 240.37 };
    expect(correct(nut, { side: 'right' }, IMPERIAL)).toEqual({ ok: true, changes: { side: 'right' } });
  });

  it('of nothing is none', () => {
    expect(correct({ kind: 'chain-removed', pitches: 2 }, {})).toMatchObject({ ok: false, nothing: true });
  });

  it('of what cannot be says what is wrong with which field', () => {
    expect(correct({ kind: 'chain-removed', pitches: 2 }, { pitches: 'two' })).toMatchObject({
      ok: false,
      faults: { pitches: 'Give a number, such as 12 or 12.5.' },
    });
  });

  it.each([
    { kind: 'chain-removed', pitches: 2, carriers: 1 },
    {
      kind: 'spring-replaced',
      takeup: 'tu1',
      side: 'left',
      spring_mm: 250,
      spring: { free_mm: 330, rate_n_per_mm: 20, solid_mm: 150, clearance_mm: 12, per_side: 2 },
    },
    { kind: 'inspected', takeup: 'tu1', rock: 'ok', restraint_nuts: 'out', noise: 'grinds' },
    { kind: 'note', takeup: 'tu1', text: 'guard is bent' },
  ])('of $kind is filled in with what the entry says', (fields) => {
    expect(correct(fields, {})).toMatchObject({ nothing: true });
    const moved = correct(fields, { time: '2026-03-01T07:30' });
    expect(readServiceEntry({ ...HEAD, ...(moved.ok ? moved.changes : { pitches: 'none' }) })).toMatchObject({ ok: true });
  });
});
