import { Type, type Static } from 'typebox';
import { DEFAULTS } from './defaults.js';
import { ambient, carriers, chain, conveyorSignals, drive, segment, zone } from './schema-conveyor.js';
import { filter } from './schema-filter.js';
import { paging, person, rota } from './schema-paging.js';
import { byDefault, id, listOf, section, words } from './schema-parts.js';
import { takeup, type spring } from './schema-takeup.js';
import type { signal } from './schema-signal.js';

const conveyor = section('A chain conveyor: one endless chain.', {
  id: id('Name of the conveyor in topics and recordings.'),
  name: Type.Optional(words('Name for people. Default: the id.')),
  chain,
  carriers: Type.Optional(carriers),
  drive: Type.Optional(drive),
  signals: Type.Optional(conveyorSignals),
  zones: Type.Optional(Type.Array(zone, { description: 'Stretches with a temperature of their own. Default: none.' })),
  ambient: Type.Optional(ambient),
  path: Type.Optional(
    Type.Array(segment, {
      description: 'The path from the take-up in the direction of travel. Default: no tension is walked round the loop.',
    }),
  ),
  takeups: listOf('The take-ups on this chain.', takeup),
});

/**
 * The site file, as a person writes it. This one description gives the static types, the validation and the JSON
 * Schema for editors. Draft 7, which the common editors complete from.
 */
export const SITE_FILE = Type.Object(
  {
    site: section('The site.', {
      id: id('Name of the site in topics.'),
      name: Type.Optional(words('Name for people. Default: the id.')),
      timezone: words('IANA time zone, such as Europe/Oslo: days and hours are counted in it.'),
      units: Type.Optional(Type.Enum(['metric', 'imperial'], byDefault('Units shown to people.', DEFAULTS.units))),
    }),
    conveyors: listOf('The conveyors of the site.', conveyor),
    filter: Type.Optional(filter),
    people: Type.Optional(Type.Array(person, { description: 'Who can be paged. Default: nobody.' })),
    rota: Type.Optional(rota),
    paging: Type.Optional(paging),
  },
  {
    $schema: 'http://json-schema.org/draft-07/schema#',
    title: 'Takeline site',
    description: 'What Takeline watches: the conveyors of a site, their take-ups and their signals.',
    additionalProperties: false,
  },
);

export type SiteFile = Static<typeof SITE_FILE>;
export type ConveyorFile = SiteFile['conveyors'][number];
export type TakeupFile = Static<typeof takeup>;
export type SpringFile = Static<typeof spring>;
export type SegmentFile = Static<typeof segment>;
export type SideFile = TakeupFile['sides']['left'];
export type RotaFile = Static<typeof rota>;
export type PagingFile = Static<typeof paging>;
export type SignalFile = Static<ReturnType<typeof signal>>;

/** The JSON Schema of the site file as text, for editors: the same from run to run. */
export function siteJsonSchema(): string {
  return `${JSON.stringify(SITE_FILE, null, 2)}\n`;
}
