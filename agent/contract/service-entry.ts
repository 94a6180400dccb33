import type { SideName, Spring } from '../site/site.js';
import { formatTime } from '../units/time.js';

/** What every service entry says, whatever its kind (contracts §2). */
interface Entry {
  /** Epoch ms: when the work was done, and from when on a replay knows of it. */
  readonly timeMs: number;
  readonly conveyor: string;
  /** Left out where the entry is for the whole conveyor. */
  readonly takeup?: string;
  /** The name by which a correction refers to it. */
  readonly id?: string;
  readonly by?: string;
}

/** Work on one side of a take-up. */
interface SideEntry extends Entry {
  readonly takeup: string;
  readonly side: SideName;
}

export interface ChainRemoved extends Entry {
  readonly kind: 'chain-removed';
  readonly pitches: number;
  /** Carriers taken off with it. */
  readonly carriers?: number;
}

export interface ChainInserted extends Entry {
  readonly kind: 'chain-inserted';
  readonly pitches: number;
}

export interface ChainReplaced extends Entry {
  readonly kind: 'chain-replaced';
  readonly pitches: number;
}

/** Said in one of two ways: turns (positive tightens) or the length of the spring afterwards. */
export interface NutTurned extends SideEntry {
  readonly kind: 'nut-turned';
  readonly turns?: number;
  readonly springMm?: number;
}

export interface SpringReplaced extends SideEntry {
  readonly kind: 'spring-replaced';
  readonly spring: Spring;
  readonly springMm: number;
}

export interface SensorRezeroed extends SideEntry {
  readonly kind: 'sensor-rezeroed';
  /** What the sensor reads from now on at the same place. */
  readonly positionMm: number;
}

export interface Lubricated extends Entry {
  readonly kind: 'lubricated';
}

/** What was seen and heard; `noise` and `filings` are yes or no, or said in words. */
export interface Inspected extends Entry {
  readonly kind: 'inspected';
  readonly rock: 'ok' | 'excessive';
  readonly restraintNuts: 'out' | 'in';
  readonly noise?: boolean | string;
  readonly filings?: boolean | string;
  readonly note?: string;
}

export interface ServiceOpened extends Entry {
  readonly kind: 'service-opened';
}

export interface ServiceClosed extends Entry {
  readonly kind: 'service-closed';
}

export interface Note extends Entry {
  readonly kind: 'note';
  readonly text: string;
}

/** Says what an earlier entry should have said. It need not repeat conveyor and take-up. */
export interface Correction {
  readonly kind: 'correction';
  readonly timeMs: number;
  /** The `id` of the entry that it corrects; this may be a correction too. */
  readonly replaces: string;
  readonly conveyor?: string;
  readonly takeup?: string;
  readonly id?: string;
  readonly by?: string;
  /**
   * The fields that overwrite those of the entry, in the contract's own form, `conveyor` and `takeup` among them; `at`
   * overwrites its time, `withdraw: true` strikes it out, and null takes a field away.
   */
  readonly changes: Readonly<Record<string, unknown>>;
}

/** An entry that says what was done, as against one that says what another should have said. */
export type WorkEntry =
  | ChainRemoved
  | ChainInserted
  | ChainReplaced
  | NutTurned
  | SpringReplaced
  | SensorRezeroed
  | Lubricated
  | Inspected
  | ServiceOpened
  | ServiceClosed
  | Note;

export type ServiceEntry = WorkEntry | Correction;
export type ServiceKind = ServiceEntry['kind'];

/** Every kind, in the order in which people are shown them. */
export const SERVICE_KINDS = [
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
  'correction',
  'note',
] as const satisfies readonly ServiceKind[];

/** An entry in the contract's own form (contracts §2), ready for `JSON.stringify`: the same entry, the same keys in the same order. */
export function serviceEntryToJson(entry: ServiceEntry): Record<string, unknown> {
  const { timeMs, kind, id, by } = entry;
  const ends = { ...(id === undefined ? {} : { id }), ...(by === undefined ? {} : { by }) };
  if (entry.kind === 'correction') return { time: formatTime(timeMs), kind, replaces: entry.replaces, ...entry.changes, ...ends };
  const { conveyor, takeup } = entry;
  return { time: formatTime(timeMs), conveyor, ...(takeup === undefined ? {} : { takeup }), kind, ...ownFields(entry), ...ends };
}

/** The fields that belong to an entry's kind. */
function ownFields(entry: WorkEntry): Record<string, unknown> {
  switch (entry.kind) {
    case 'chain-removed':
      return { pitches: entry.pitches, ...given('carriers', entry.carriers) };
    case 'chain-inserted':
    case 'chain-replaced':
      return { pitches: entry.pitches };
    case 'nut-turned':
      return { side: entry.side, ...given('turns', entry.turns), ...given('spring_mm', entry.springMm) };
    case 'spring-replaced':
      return { side: entry.side, spring: springToJson(entry.spring), spring_mm: entry.springMm };
    case 'sensor-rezeroed':
      return { side: entry.side, position_mm: entry.positionMm };
    case 'inspected':
      return {
        rock: entry.rock,
        restraint_nuts: entry.restraintNuts,
        ...given('noise', entry.noise),
        ...given('filings', entry.filings),
        ...given('note', entry.note),
      };
    case 'note':
      return { text: entry.text };
    case 'lubricated':
    case 'service-opened':
    case 'service-closed':
      return {};
  }
}

function given(key: string, value: unknown): Record<string, unknown> {
  return value === undefined ? {} : { [key]: value };
}

/** A spring as the site file has it: by its wire where that is known, else by its maker's data. */
function springToJson(spring: Spring): Record<string, unknown> {
  const { freeMm, rateNPerMm, solidMm, clearanceMm, perSide, wire } = spring;
  const ends = { clearance_mm: clearanceMm, per_side: perSide };
  if (wire === undefined) return { free_mm: freeMm, rate_n_per_mm: rateNPerMm, solid_mm: solidMm, ...ends };
  return {
    free_mm: freeMm,
    wire_mm: wire.wireMm,
    mean_diameter_mm: wire.meanDiameterMm,
    active_coils: wire.activeCoils,
    total_coils: wire.totalCoils,
    shear_modulus_mpa: wire.shearModulusMpa,
    ends: wire.ends,
    coiled: wire.coiled,
    load: wire.load,
    ...ends,
  };
}
