import { EntryFields } from '../contract/entry-fields.js';
import { parseServiceEntry } from '../contract/parse-service-entry.js';
import { signalsOf, type Conveyor, type Site } from '../site/site.js';
import { formatTime, parseTime } from '../units/time.js';
import type { Fault } from './overlay.js';
import type { Span } from './presets.js';
import { readTrouble } from './read-trouble.js';
import type { ForcedStretch } from './forced-stretch.js';
import type { BreathingWave } from './scenario.js';
import type { PlantTrouble } from './trouble.js';
import { NEVER, RIGHTLY, type PlantWork, type WorkRecord } from './work.js';

/** Where a list stands in the file, and what it may speak of. */
export interface Where {
  readonly path: string;
  readonly conveyor: string;
  readonly site: Site;
  readonly span: Span;
  readonly faults: Fault[];
}

const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;

/** Work: `{ "at": …, "do": { service entry without time and conveyor }, "record": … }`. */
export function readWorks(json: unknown, where: Where): PlantWork[] {
  return readList(json, where, 'a piece of work', (fields) => {
    const timeMs = timeOf(fields, 'at', where.span);
    const record = readRecord(fields);
    const task = fields.any('do');
    if (typeof task !== 'object' || task === null || Array.isArray(task)) {
      fields.refuse('do must be a service entry without time and conveyor, such as { "kind": "lubricated" }');
      return undefined;
    }
    if (Number.isNaN(timeMs)) return undefined;
    const parsed = parseServiceEntry({ ...task, time: formatTime(timeMs), conveyor: where.conveyor }, where.site);
    if (!parsed.ok) fields.refuse(`do: ${parsed.message}`);
    else if (parsed.entry.kind === 'correction') fields.refuse('do: a correction is no work; say how the work was recorded with record');
    else return { entry: parsed.entry, record };
    return undefined;
  });
}

/** `"never"`, `{ "late_min": … }` or `{ "wrong_pitches": …, "corrected_after_min": … }`; left out, it is recorded rightly. */
function readRecord(fields: EntryFields): WorkRecord {
  const json = fields.any('record');
  if (json === undefined || json === 'rightly') return RIGHTLY;
  if (json === 'never') return NEVER;
  if (typeof json !== 'object' || json === null || Array.isArray(json)) {
    fields.refuse('record must be "rightly", "never", { "late_min": … } or { "wrong_pitches": …, "corrected_after_min": … }');
    return RIGHTLY;
  }
  const how = new EntryFields(json as Record<string, unknown>);
  const record: WorkRecord = how.has('wrong_pitches')
    ? {
        how: 'wrongly',
        pitches: how.count('wrong_pitches', 1),
        correctedAfterMs: how.has('corrected_after_min') ? MINUTE_MS * how.number('corrected_after_min') : null,
      }
    : { how: 'late', byMs: MINUTE_MS * how.number('late_min') };
  const fault = how.fault('record');
  if (fault !== undefined) fields.refuse(fault);
  return record;
}

/** Troubles: `{ "kind": …, "from": …, "to": …, and what the kind takes }`. */
export function readTroubles(json: unknown, where: Where): PlantTrouble[] {
  const conveyor = where.site.conveyors.find(({ id }) => id === where.conveyor) as Conveyor;
  const signals = signalsOf({ ...where.site, conveyors: [conveyor] }).map(({ name }) => name);
  return readList(json, where, 'a trouble', (fields) => readTrouble(fields, stretchOf(fields, where.span), conveyor, signals));
}

/** Stretches in which the conveyor runs or stands: `{ "from": …, "to": …, "running": … }`. */
export function readForced(json: unknown, where: Where): ForcedStretch[] {
  return readList(json, where, 'a stretch', (fields) => ({ ...stretchOf(fields, where.span), running: fields.truth('running') }));
}

/** Waves of the to-and-fro: `{ "mm": …, "rounds_of_loop": … }` or `{ "mm": …, "chain_mm": … }`. */
export function readWaves(json: unknown, where: Where): BreathingWave[] {
  return readList(json, where, 'a wave', (fields) => {
    const mm = fields.number('mm');
    return fields.has('chain_mm')
      ? { mm, per: { chainMm: fields.positive('chain_mm') } }
      : { mm, per: { roundOfLoop: fields.positive('rounds_of_loop') } };
  });
}

function readList<Item>(json: unknown, where: Where, what: string, read: (fields: EntryFields) => Item | undefined): Item[] {
  if (json === undefined) return [];
  if (!Array.isArray(json)) {
    where.faults.push(`${where.path} must be a list`);
    return [];
  }
  return json.flatMap((item: unknown, index) => {
    const path = `${where.path}[${String(index)}]`;
    if (typeof item !== 'object' || item === null || Array.isArray(item)) {
      where.faults.push(`${path} must be an object`);
      return [];
    }
    const fields = new EntryFields(item as Record<string, unknown>);
    const found = read(fields);
    const fault = fields.fault(what);
    if (fault === undefined) return found === undefined ? [] : [found];
    where.faults.push(`${path}: ${fault}`);
    return [];
  });
}

function stretchOf(fields: EntryFields, span: Span): { readonly fromMs: number; readonly toMs: number } {
  const fromMs = timeOf(fields, 'from', span);
  const toMs = fields.has('to') ? timeOf(fields, 'to', span) : span.toMs;
  if (toMs <= fromMs) fields.refuse('to must come after from');
  return { fromMs, toMs };
}

/** ISO 8601 with an offset, or days since the start of the span. */
function timeOf(fields: EntryFields, key: string, { fromMs }: Span): number {
  const value = fields.any(key);
  const ms =
    typeof value === 'number' && value >= 0
      ? Math.round(fromMs + value * DAY_MS)
      : typeof value === 'string'
        ? parseTime(value)
        : undefined;
  if (ms === undefined) fields.refuse(`${key} must be a time with its offset, or days since the start, such as 12.5`);
  return ms ?? NaN;
}
