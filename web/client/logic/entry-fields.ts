import type { ServiceKind } from '../../../agent/contract/service-entry.js';
import { toShown, unitOf, type DisplayKind, type UnitSystem } from '../../../agent/units/display.js';
import type { Place } from './entry-place.js';

/** The kinds that a person writes down, in the order in which they are offered. */
export const FORM_KINDS = [
  'chain-removed',
  'chain-inserted',
  'chain-replaced',
  'nut-turned',
  'spring-replaced',
  'sensor-rezeroed',
  'lubricated',
  'inspected',
  'service-opened',
  'service-closed',
  'note',
] as const satisfies readonly Exclude<ServiceKind, 'correction'>[];
export type FormKind = (typeof FORM_KINDS)[number];

export type FieldName =
  | 'pitches'
  | 'carriers'
  | 'side'
  | 'turns'
  | 'spring_mm'
  | 'position_mm'
  | 'free_mm'
  | 'rate_n_per_mm'
  | 'solid_mm'
  | 'clearance_mm'
  | 'rock'
  | 'restraint_nuts'
  | 'noise'
  | 'filings'
  | 'note'
  | 'text';

/** One field of the form. */
export interface EntryField {
  readonly name: FieldName;
  readonly label: string;
  /** `count`: whole; `number`: signed; `length` and `rate`: in the person's own units. */
  readonly type: 'count' | 'number' | 'length' | 'rate' | 'choice' | 'words' | 'long-words';
  readonly required: boolean;
  readonly choices?: readonly (readonly [value: string, words: string])[];
  /** What stands there until somebody types: a number in the program's own unit. */
  readonly usual?: number;
  readonly least?: number;
}

const SIDE: EntryField = {
  ...{ name: 'side', label: 'Side', type: 'choice', required: true },
  choices: [
    ['left', 'left'],
    ['right', 'right'],
  ],
};

/** What has to be said of each kind. A chain belongs to the conveyor, a spring to one side of its take-up. */
export function fieldsOfKind(kind: FormKind, { conveyor, takeup }: Place): readonly EntryField[] {
  const { repeatPitches } = conveyor.chain;
  const multiples = repeatPitches > 1 ? `, in multiples of ${String(repeatPitches)}` : '';
  const pitches = (label: string): EntryField => ({ name: 'pitches', label, type: 'count', required: true, least: 1 });
  const springLength = (label: string, required: boolean): EntryField => ({ name: 'spring_mm', label, type: 'length', required, least: 0 });
  switch (kind) {
    case 'chain-removed':
      return [
        pitches(`Pitches taken out${multiples}`),
        { name: 'carriers', label: 'Carriers taken off with them', type: 'count', required: false, least: 0 },
      ];
    case 'chain-inserted':
      return [pitches(`Pitches put in${multiples}`)];
    case 'chain-replaced':
      return [pitches('Pitches of the new chain, all round')];
    case 'nut-turned':
      return takeup.nutLeadMm === undefined
        ? [SIDE, springLength('Spring length afterwards', true)]
        : [
            SIDE,
            { name: 'turns', label: 'Turns: tightened above 0, slackened below', type: 'number', required: false },
            springLength('or the spring length afterwards', false),
          ];
    case 'spring-replaced':
      return [
        SIDE,
        springLength('Spring length as set', true),
        { name: 'free_mm', label: 'Free length of the new spring', type: 'length', required: true, least: 0, usual: takeup.spring.freeMm },
        { name: 'rate_n_per_mm', label: 'Its rate', type: 'rate', required: true, least: 0, usual: takeup.spring.rateNPerMm },
        { name: 'solid_mm', label: 'Its solid length', type: 'length', required: true, least: 0, usual: takeup.spring.solidMm },
        {
          name: 'clearance_mm',
          label: 'Its coil clearances in all',
          type: 'length',
          required: true,
          least: 0,
          usual: takeup.spring.clearanceMm,
        },
      ];
    case 'sensor-rezeroed':
      return [SIDE, { name: 'position_mm', label: 'What it reads now, carriage unmoved', type: 'length', required: true }];
    case 'inspected':
      return [
        {
          ...{ name: 'rock', label: 'Rock of the chain after the drive', type: 'choice', required: true },
          choices: [
            ['ok', 'in order'],
            ['excessive', 'too much'],
          ],
        },
        {
          ...{ name: 'restraint_nuts', label: 'Restraint nuts', type: 'choice', required: true },
          choices: [
            ['out', 'run out, as they should be'],
            ['in', 'run in: the carriage is held'],
          ],
        },
        { name: 'noise', label: 'Noise', type: 'words', required: false },
        { name: 'filings', label: 'Filings', type: 'words', required: false },
        { name: 'note', label: 'Note', type: 'long-words', required: false },
      ];
    case 'note':
      return [{ name: 'text', label: 'Note', type: 'long-words', required: true }];
    case 'lubricated':
    case 'service-opened':
    case 'service-closed':
      return [];
  }
}

export const SHOWN_AS: Readonly<Partial<Record<EntryField['type'], DisplayKind>>> = { length: 'travel', rate: 'spring-rate' };

/** A field's label with the unit that is typed. */
export function labelOf({ label, type }: EntryField, units: UnitSystem): string {
  const kind = SHOWN_AS[type];
  return kind === undefined ? label : `${label}, ${unitOf(kind, units)}`;
}

/** What stands in a field until somebody types, in the units that are typed. */
export function usualText({ usual, type }: EntryField, units: UnitSystem): string {
  const kind = SHOWN_AS[type];
  if (usual === undefined || kind === undefined) return '';
  return String(Number(toShown(kind, usual, units).toFixed(3)));
}
