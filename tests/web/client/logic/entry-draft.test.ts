import { describe, expect, it } from 'vitest';
import { readServiceEntry } from '../../../../agent/contract/parse-service-entry.js';
import { readDraft, type Typed } from '../../../../web/client/logic/entry-draft.js';
import { fieldsOfKind, FORM_KINDS, labelOf, usualText, type FormKind } from '../../../../web/client/logic/entry-fields.js';
import type { Place } from '../../../../web/client/logic/entry-place.js';

const SPRING = { freeMm: 320, rateNPerMm: 18, solidMm: 150, clearanceMm: 12, perSide: 2 };
const PLACE: Place = { conveyor: { id: 'line1', chain: { repeatPitches: 2 } }, takeup: { id: 'tu1', spring: SPRING, nutLeadMm: 3 } };
const METRIC = { place: PLACE, units: 'metric', timezone: 'Europe/Oslo' } as const;

const read = (kind: FormKind, typed: Typed, context: Parameters<typeof readDraft>[1] = METRIC) =>
  readDraft({ kind, time: '2026-03-02T09:41', typed }, context);
const head = { time: '2026-03-02T08:41:00Z', conveyor: 'line1' };

describe('what a person typed', () => {
  it.each<[FormKind, Typed, Record<string, unknown>]>([
    ['chain-removed', { pitches: '2', carriers: '' }, { pitches: 2 }],
    ['chain-removed', { pitches: ' 4 ', carriers: '1' }, { pitches: 4, carriers: 1 }],
    ['chain-replaced', { pitches: '3200' }, { pitches: 3200 }],
    ['lubricated', {}, {}],
  ])('of %s is work on the whole chain', (kind, typed, entry) => {
    expect(read(kind, typed)).toEqual({ ok: true, entry: { ...head, kind, ...entry } });
  });

  it.each<[FormKind, Typed, Record<string, unknown>]>([
    ['nut-turned', { side: 'left', turns: '-1,5' }, { side: 'left', turns: -1.5 }],
    ['nut-turned', { side: 'right', spring_mm: '240.5' }, { side: 'right', spring_mm: 240.5 }],
    ['sensor-rezeroed', { side: 'left', position_mm: '-2' }, { side: 'left', position_mm: -2 }],
    ['inspected', { rock: 'ok', restraint_nuts: 'out', noise: 'grinds' }, { rock: 'ok', restraint_nuts: 'out', noise: 'grinds' }],
    ['note', { text: 'guard is bent' }, { text: 'guard is bent' }],
    ['service-opened', {}, {}],
  ])('of %s is work on the take-up', (kind, typed, entry) => {
    expect(read(kind, typed)).toEqual({ ok: true, entry: { ...head, takeup: 'tu1', kind, ...entry } });
  });

  it('of a new spring is the site’s own spring where nothing else is typed', () => {
    expect(read('spring-replaced', { side: 'left', spring_mm: '250', rate_n_per_mm: '20' })).toMatchObject({
      entry: { spring: { free_mm: 320, rate_n_per_mm: 20, solid_mm: 150, clearance_mm: 12, per_side: 2 }, spring_mm: 250 },
    });
  });

  it('in inches and pounds comes in mm and N/mm', () => {
    const imperial = { ...METRIC, units: 'imperial' } as const;
    expect(read('nut-turned', { side: 'left', spring_mm: '10' }, imperial)).toMatchObject({ entry: { spring_mm: 254 } });
    // 1 lbf/in = 0.1751268 N/mm (NIST SP 811, appendix B.8).
    const typed = { side: 'left', spring_mm: '10', rate_n_per_mm: '100' };
    expect(read('spring-replaced', typed, imperial)).toMatchObject({ entry: { spring: { rate_n_per_mm: 17.513, free_mm: 320 } } });
  });

  it('is what the agent takes, for every kind', () => {
    const typed: Typed = {
      ...{ pitches: '2', side: 'left', spring_mm: '250', position_mm: '40', rock: 'ok', restraint_nuts: 'out', text: 'seen' },
    };
    for (const kind of FORM_KINDS) {
      const draft = read(kind, typed);
      expect(draft.ok && readServiceEntry(draft.entry), kind).toMatchObject({ ok: true });
    }
  });
});

describe('what is wrong with what was typed', () => {
  it('is said of every field at once', () => {
    const draft = readDraft({ kind: 'chain-removed', time: '', typed: { pitches: '1.5', carriers: 'some' } }, METRIC);
    expect(draft.ok ? {} : Object.keys(draft.faults)).toEqual(['time', 'pitches', 'carriers']);
  });

  it.each<[FormKind, Typed, string, RegExp]>([
    ['chain-removed', {}, 'pitches', /number/],
    ['chain-removed', { pitches: '0' }, 'pitches', /1 or more/],
    ['nut-turned', { turns: '1' }, 'side', /Choose/],
    ['nut-turned', { side: 'left' }, 'turns', /turns or the spring length/],
    ['nut-turned', { side: 'left', turns: '1', spring_mm: '240' }, 'spring_mm', /not both/],
    ['spring-replaced', { side: 'left', spring_mm: '250', free_mm: '' }, 'free_mm', /number/],
    ['note', { text: '  ' }, 'text', /Write/],
    ['inspected', { rock: 'ok', restraint_nuts: 'loose' }, 'restraint_nuts', /Choose/],
  ])('%s %j: %s', (kind, typed, field, words) => {
    const draft = read(kind, typed);
    expect(draft.ok ? {} : draft.faults).toEqual({ [field]: expect.stringMatching(words) as string });
  });
});

describe('the form', () => {
  it('asks for turns only where the lead of the nut is known', () => {
    const { nutLeadMm, ...takeup } = PLACE.takeup;
    const names = (place: Place) => fieldsOfKind('nut-turned', place).map(({ name }) => name);
    expect(nutLeadMm).toBe(3);
    expect(names(PLACE)).toEqual(['side', 'turns', 'spring_mm']);
    expect(names({ ...PLACE, takeup })).toEqual(['side', 'spring_mm']);
  });

  it('says in which units it asks, and what is usual in them', () => {
    const free = fieldsOfKind('spring-replaced', PLACE).find(({ name }) => name === 'free_mm');
    if (free === undefined) throw new Error('a new spring has a free length');
    expect([labelOf(free, 'metric'), usualText(free, 'metric')]).toEqual(['Free length of the new spring, mm', '320']);
    expect([labelOf(free, 'imperial'), usualText(free, 'imperial')]).toEqual(['Free length of the new spring, in', '12.598']);
  });
});
