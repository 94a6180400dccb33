import { nearMiss } from '../site/near-miss.js';
import type { Conveyor, SideName, Site, Spring } from '../site/site.js';
import { EntryFields } from './entry-fields.js';
import { readEntrySpring } from './entry-spring.js';
import { SERVICE_KINDS, type Correction, type ServiceEntry, type ServiceKind, type WorkEntry } from './service-entry.js';

/** An entry, or in a sentence why it is none. */
export type ParsedEntry = { readonly ok: true; readonly entry: ServiceEntry } | { readonly ok: false; readonly message: string };

const SIDES: readonly [SideName, SideName] = ['left', 'right'];
/** What a correction can overwrite beside `at` and `withdraw`: every field of every kind. */
const CORRECTABLE = [
  ...['conveyor', 'takeup', 'pitches', 'carriers', 'side', 'turns', 'spring_mm', 'spring', 'position_mm'],
  ...['rock', 'restraint_nuts', 'noise', 'filings', 'note', 'text'],
] as const;

/**
 * Reads a service entry from the contract's own form and checks it against the site: its conveyor and take-up exist, and
 * work on a side says at which take-up, unless there is but one.
 *
 * @param json - what `JSON.parse` gave
 */
export function parseServiceEntry(json: unknown, site: Site): ParsedEntry {
  const read = readServiceEntry(json);
  return read.ok ? placeEntry(read.entry, site) : read;
}

/** `parseServiceEntry` without the site: the form alone. On a side's work `takeup` may be empty still. */
export function readServiceEntry(json: unknown): ParsedEntry {
  if (typeof json !== 'object' || json === null || Array.isArray(json))
    return refuse('a service entry is a JSON object with time, conveyor and kind');
  const fields = new EntryFields(json as Record<string, unknown>);
  const kind = fields.any('kind');
  const known = SERVICE_KINDS.find((candidate) => candidate === kind);
  if (known === undefined) return refuse(unknownKind(kind));
  const entry = known === 'correction' ? readCorrection(fields) : readWork(known, fields);
  const fault = fields.fault(known);
  return fault === undefined ? { ok: true, entry } : refuse(fault);
}

function readWork(kind: Exclude<ServiceKind, 'correction'>, fields: EntryFields): WorkEntry {
  const base = {
    timeMs: fields.time('time'),
    conveyor: fields.text('conveyor'),
    ...optional(fields, 'takeup'),
    ...optional(fields, 'id'),
    ...optional(fields, 'by'),
  };
  // Which take-up is meant where there is but one, the site tells.
  const onSide = () => ({ takeup: '', ...base, side: fields.word('side', SIDES) });
  switch (kind) {
    case 'chain-removed':
      return {
        ...base,
        kind,
        pitches: fields.count('pitches', 1),
        ...(fields.has('carriers') ? { carriers: fields.count('carriers', 0) } : {}),
      };
    case 'chain-inserted':
    case 'chain-replaced':
      return { ...base, kind, pitches: fields.count('pitches', 1) };
    case 'nut-turned':
      return { ...onSide(), kind, ...readNut(fields) };
    case 'spring-replaced': {
      const spring = readEntrySpring(fields.any('spring'));
      if (typeof spring === 'string') fields.refuse(spring);
      const springMm = fields.positive('spring_mm');
      // With a fault noted the entry goes no further, so that what stands in place of a spring is never seen.
      return { ...onSide(), kind, spring: spring as Spring, springMm };
    }
    case 'sensor-rezeroed':
      return { ...onSide(), kind, positionMm: fields.number('position_mm') };
    case 'inspected':
      return {
        ...base,
        kind,
        rock: fields.word('rock', ['ok', 'excessive']),
        restraintNuts: fields.word('restraint_nuts', ['out', 'in']),
        ...(fields.has('noise') ? { noise: fields.remark('noise') } : {}),
        ...(fields.has('filings') ? { filings: fields.remark('filings') } : {}),
        ...optional(fields, 'note'),
      };
    case 'note':
      return { ...base, kind, text: fields.text('text') };
    case 'lubricated':
    case 'service-opened':
    case 'service-closed':
      return { ...base, kind };
  }
}

function readNut(fields: EntryFields): { turns: number } | { springMm: number } {
  const turned = fields.has('turns');
  if (turned === fields.has('spring_mm')) fields.refuse('nut-turned needs either turns or spring_mm, one of the two');
  return turned ? { turns: fields.number('turns') } : { springMm: fields.positive('spring_mm') };
}

function readCorrection(fields: EntryFields): Correction {
  const changes: Record<string, unknown> = {};
  for (const key of CORRECTABLE) {
    if (fields.gives(key)) changes[key] = fields.any(key) ?? null;
  }
  if (fields.has('at')) {
    fields.time('at');
    changes['at'] = fields.any('at');
  }
  if (fields.has('withdraw')) changes['withdraw'] = fields.truth('withdraw');
  return {
    kind: 'correction',
    timeMs: fields.time('time'),
    replaces: fields.text('replaces'),
    ...optional(fields, 'conveyor'),
    ...optional(fields, 'takeup'),
    ...optional(fields, 'id'),
    ...optional(fields, 'by'),
    changes,
  };
}

function optional<Key extends string>(fields: EntryFields, key: Key): Partial<Record<Key, string>> {
  return fields.has(key) ? ({ [key]: fields.text(key) } as Record<Key, string>) : {};
}

/** Checks an entry's conveyor and take-up against the site, and fills in the only take-up there is. */
export function placeEntry(entry: ServiceEntry, site: Site): ParsedEntry {
  if (entry.conveyor === undefined) return { ok: true, entry };
  const conveyor = site.conveyors.find(({ id }) => id === entry.conveyor);
  if (conveyor === undefined) return refuse(noSuch('conveyor', entry.conveyor, site.conveyors));
  if (!('side' in entry) || entry.takeup !== '') return checkTakeup(entry, conveyor);
  const [only, ...others] = conveyor.takeups;
  if (only !== undefined && others.length === 0) return { ok: true, entry: { ...entry, takeup: only.id } };
  const ids = conveyor.takeups.map(({ id }) => id).join(', ');
  return refuse(`takeup is missing: ${entry.kind} is work on one side of a take-up, and ${conveyor.id} has ${ids}`);
}

function checkTakeup(entry: ServiceEntry, conveyor: Conveyor): ParsedEntry {
  const known = entry.takeup === undefined || conveyor.takeups.some(({ id }) => id === entry.takeup);
  return known ? { ok: true, entry } : refuse(`${noSuch('take-up', entry.takeup ?? '', conveyor.takeups)} on ${conveyor.id}`);
}

function noSuch(what: string, id: string, among: readonly { readonly id: string }[]): string {
  const ids = among.map((one) => one.id);
  const meant = nearMiss(id, ids);
  return `there is no ${what} "${id}" (${meant === undefined ? `there is ${ids.join(', ')}` : `perhaps ${meant} was meant`})`;
}

function unknownKind(kind: unknown): string {
  if (kind === undefined) return `kind is missing; it must be one of ${SERVICE_KINDS.join(', ')}`;
  const meant = typeof kind === 'string' ? nearMiss(kind, SERVICE_KINDS) : undefined;
  return `there is no kind ${JSON.stringify(kind)}; ${meant === undefined ? `it must be one of ${SERVICE_KINDS.join(', ')}` : `perhaps ${meant} was meant`}`;
}

function refuse(message: string): { readonly ok: false; readonly message: string } {
  return { ok: false, message };
}
