import { describe, expect, it } from 'vitest';
import { parseServiceEntry } from '../../agent/contract/parse-service-entry.js';
import { SERVICE_KINDS, serviceEntryToJson } from '../../agent/contract/service-entry.js';
import { siteOfTwo } from './sites.js';

const SITE = siteOfTwo();
const TIME = '2026-03-01T08:00:00Z';
const TIME_MS = Date.UTC(2026, 2, 1, 8);
const AT = { time: TIME, conveyor: 'enamel' };
const SPRING = { free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12, per_side: 2 };
const WIRE = {
  free_mm: 320,
  wire_mm: 16,
  mean_diameter_mm: 80,
  active_coils: 8,
  total_coils: 10,
  shear_modulus_mpa: 81_500,
  ends: 'ground',
  coiled: 'cold',
  load: 'static',
  clearance_mm: 17.6,
  per_side: 1,
};

/** An entry of every kind, with all it can say, as the contract has it. */
const WHOLE: readonly Readonly<Record<string, unknown>>[] = [
  { ...AT, kind: 'chain-removed', pitches: 12, carriers: 1, id: 'e1', by: 'shift B' },
  { ...AT, kind: 'chain-inserted', pitches: 2 },
  { ...AT, kind: 'chain-replaced', pitches: 3200 },
  { ...AT, takeup: 'tu1', kind: 'nut-turned', side: 'left', turns: -1.5 },
  { ...AT, takeup: 'tu1', kind: 'nut-turned', side: 'right', spring_mm: 248.5 },
  { ...AT, takeup: 'tu1', kind: 'spring-replaced', side: 'left', spring: SPRING, spring_mm: 250 },
  { ...AT, takeup: 'tu1', kind: 'spring-replaced', side: 'right', spring: WIRE, spring_mm: 250 },
  { ...AT, takeup: 'tu1', kind: 'sensor-rezeroed', side: 'left', position_mm: 0 },
  { ...AT, kind: 'lubricated' },
  {
    ...AT,
    takeup: 'tu1',
    kind: 'inspected',
    rock: 'ok',
    restraint_nuts: 'out',
    noise: false,
    filings: 'some, fine',
    note: 'seen from below',
  },
  { ...AT, takeup: 'tu1', kind: 'service-opened', by: 'shift B' },
  { ...AT, kind: 'service-closed' },
  { time: TIME, kind: 'correction', replaces: 'e1', conveyor: 'enamel', pitches: 10, carriers: null, at: '2026-02-28T08:00:00Z', id: 'c1' },
  { time: TIME, kind: 'correction', replaces: 'e1', withdraw: true },
  { ...AT, kind: 'note', text: 'guard rail bent' },
];

function parsed(json: unknown) {
  const read = parseServiceEntry(json, SITE);
  if (!read.ok) throw new Error(read.message);
  return read.entry;
}

function refusal(json: unknown): string {
  const read = parseServiceEntry(json, SITE);
  if (read.ok) throw new Error(`${JSON.stringify(json)} was taken`);
  return read.message;
}

describe('a service entry', () => {
  it.each(WHOLE)('of kind $kind comes back as it was written', (json) => {
    expect(serviceEntryToJson(parsed(json))).toEqual(json);
  });

  it('is there for every kind', () => {
    expect(new Set(WHOLE.map(({ kind }) => kind))).toEqual(new Set(SERVICE_KINDS));
  });

  it('speaks of mm and epoch milliseconds inside the program', () => {
    expect(parsed(WHOLE[7])).toEqual({
      timeMs: TIME_MS,
      conveyor: 'enamel',
      takeup: 'tu1',
      kind: 'sensor-rezeroed',
      side: 'left',
      positionMm: 0,
    });
    expect(parsed(WHOLE[9])).toMatchObject({ restraintNuts: 'out', filings: 'some, fine' });
    expect(parsed(WHOLE[5])).toMatchObject({ spring: { freeMm: 320, rateNPerMm: 18, solidMm: 150, clearanceMm: 12, perSide: 2 } });
  });

  it('may give a spring by its wire: rate 163 N/mm and solid length 160 mm follow', () => {
    // checks S6: d 16, D 80, active 8, total 10, G 81 500, ground ends.
    expect(parsed(WHOLE[6])).toMatchObject({ spring: { rateNPerMm: 163, solidMm: 160, clearanceMm: 17.6 } });
  });

  it('may tell its time in any offset or in epoch milliseconds', () => {
    expect(parsed({ ...AT, time: '2026-03-01T09:00:00+01:00', kind: 'lubricated' }).timeMs).toBe(TIME_MS);
    expect(parsed({ ...AT, time: TIME_MS, kind: 'lubricated' }).timeMs).toBe(TIME_MS);
  });

  it('counts a null as left out', () => {
    expect(serviceEntryToJson(parsed({ ...AT, takeup: null, kind: 'chain-removed', pitches: 4, carriers: null }))).toEqual({
      ...AT,
      kind: 'chain-removed',
      pitches: 4,
    });
  });
});

describe('work on one side', () => {
  it('is at the only take-up where the conveyor has but one', () => {
    expect(parsed({ ...AT, kind: 'nut-turned', side: 'left', turns: 1 })).toMatchObject({ takeup: 'tu1' });
  });

  it('must say at which take-up where there are several', () => {
    const message = refusal({ time: TIME, conveyor: 'dryer', kind: 'nut-turned', side: 'left', turns: 1 });
    expect(message).toBe('takeup is missing: nut-turned is work on one side of a take-up, and dryer has north, south');
  });

  it('leaves out the take-up of work on the whole conveyor', () => {
    expect(parsed({ ...AT, kind: 'lubricated' })).not.toHaveProperty('takeup');
  });
});

describe('an entry that cannot be', () => {
  it.each<[string, unknown, string]>([
    ['no object', ['note'], 'a service entry is a JSON object with time, conveyor and kind'],
    ['null', null, 'a service entry is a JSON object with time, conveyor and kind'],
    [
      'an unknown kind near a known one',
      { ...AT, kind: 'chain-remove', pitches: 2 },
      'there is no kind "chain-remove"; perhaps chain-removed was meant',
    ],
    ['an unknown kind', { ...AT, kind: 'paint' }, `there is no kind "paint"; it must be one of ${SERVICE_KINDS.join(', ')}`],
    ['no kind', AT, `kind is missing; it must be one of ${SERVICE_KINDS.join(', ')}`],
    [
      'an unknown field near a known one',
      { ...AT, kind: 'chain-removed', pitch: 2 },
      'chain-removed has no field "pitch"; perhaps pitches was meant',
    ],
    [
      'an unknown field',
      { ...AT, kind: 'lubricated', grade: 'EP2' },
      'lubricated has no field "grade"; it has kind, time, conveyor, takeup, id, by',
    ],
    [
      'a time without offset',
      { ...AT, time: '2026-03-01T08:00:00', kind: 'lubricated' },
      'time is "2026-03-01T08:00:00"; it must be a time with its offset, such as 2026-01-05T06:00:00Z',
    ],
    [
      'no time',
      { conveyor: 'enamel', kind: 'lubricated' },
      'time is missing; it must be a time with its offset, such as 2026-01-05T06:00:00Z',
    ],
    ['no conveyor', { time: TIME, kind: 'lubricated' }, 'conveyor is missing; it must be a text'],
    [
      'a conveyor that is not there',
      { ...AT, conveyor: 'enamle', kind: 'lubricated' },
      'there is no conveyor "enamle" (perhaps enamel was meant)',
    ],
    ['a take-up that is not there', { ...AT, takeup: 'east', kind: 'lubricated' }, 'there is no take-up "east" (there is tu1) on enamel'],
    [
      'a take-up of another conveyor',
      { ...AT, takeup: 'north', kind: 'nut-turned', side: 'left', turns: 1 },
      'there is no take-up "north" (there is tu1) on enamel',
    ],
    ['no pitches', { ...AT, kind: 'chain-removed', pitches: 0 }, 'pitches is 0; it must be a whole number from 1 up'],
    ['half a pitch', { ...AT, kind: 'chain-inserted', pitches: 1.5 }, 'pitches is 1.5; it must be a whole number from 1 up'],
    ['pitches in words', { ...AT, kind: 'chain-replaced', pitches: '3200' }, 'pitches is "3200"; it must be a whole number from 1 up'],
    ['no side', { ...AT, kind: 'sensor-rezeroed', position_mm: 1 }, 'side is missing; it must be one of left, right'],
    [
      'a third side',
      { ...AT, kind: 'sensor-rezeroed', side: 'rihgt', position_mm: 1 },
      'side is "rihgt"; it must be one of left, right; perhaps right was meant',
    ],
    [
      'a nut turned in two ways',
      { ...AT, kind: 'nut-turned', side: 'left', turns: 1, spring_mm: 250 },
      'nut-turned needs either turns or spring_mm, one of the two',
    ],
    ['a nut turned by nothing', { ...AT, kind: 'nut-turned', side: 'left' }, 'nut-turned needs either turns or spring_mm, one of the two'],
    ['a spring of no length', { ...AT, kind: 'nut-turned', side: 'left', spring_mm: 0 }, 'spring_mm is 0; it must be a number above 0'],
    [
      'rock in other words',
      { ...AT, kind: 'inspected', rock: 'fine', restraint_nuts: 'out' },
      'rock is "fine"; it must be one of ok, excessive',
    ],
    [
      'a number of noises',
      { ...AT, kind: 'inspected', rock: 'ok', restraint_nuts: 'out', noise: 3 },
      'noise is 3; it must be true, false or a text',
    ],
    ['an empty note', { ...AT, kind: 'note', text: ' ' }, 'text is " "; it must be a text'],
    ['a correction of nothing', { ...AT, kind: 'correction', pitches: 2 }, 'replaces is missing; it must be a text'],
    [
      'a correction with an unknown field',
      { ...AT, kind: 'correction', replaces: 'e1', pitchs: 2 },
      'correction has no field "pitchs"; perhaps pitches was meant',
    ],
    [
      'a correction to no time',
      { ...AT, kind: 'correction', replaces: 'e1', at: 'noon' },
      'at is "noon"; it must be a time with its offset, such as 2026-01-05T06:00:00Z',
    ],
    ['half a withdrawal', { ...AT, kind: 'correction', replaces: 'e1', withdraw: 'yes' }, 'withdraw is "yes"; it must be true or false'],
  ])('is refused in a sentence: %s', (_, json, message) => {
    expect(refusal(json)).toBe(message);
  });

  it.each<[string, unknown, RegExp]>([
    ['longer when solid than when free', { ...SPRING, solid_mm: 330 }, /solid length, 330 mm, must be below its free length, 320 mm/],
    ['with no room left by its clearance', { ...SPRING, clearance_mm: 170 }, /leave nothing of its free length/],
    ['with a slip in a name', { ...SPRING, rate_n_mm: 18 }, /spring\.rate_n_mm: there is no such key/],
    ['with more active coils than coils', { ...WIRE, active_coils: 11 }, /fewer coils in all than active ones/],
    ['coiled more narrowly than its wire', { ...WIRE, mean_diameter_mm: 15 }, /narrower than their wire/],
    ['that is no object', 'the same', /^spring: /],
  ])('is refused in a sentence: a spring %s', (_, spring, message) => {
    expect(refusal({ ...AT, kind: 'spring-replaced', side: 'left', spring, spring_mm: 250 })).toMatch(message);
  });
});
