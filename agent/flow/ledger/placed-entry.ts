import type { WorkEntry } from '../../contract/service-entry.js';

/** A service entry with its place in the account. */
export interface PlacedEntry {
  readonly id: string;
  readonly entry: WorkEntry;
  /** When it takes effect: its own time, or the step that it explains. */
  readonly atMs: number;
  readonly anchor: Anchor | undefined;
}

/** What was measured when an entry took effect and what it refers to (mm; NaN where not known). */
export interface Anchor {
  /** The effect's time that it was measured for: an entry that moves is measured anew. */
  readonly atMs: number;
  /** The side's position that a measured spring length or a re-zeroed sensor refers to. */
  readonly sideMm: number;
  /** For a new chain: Σ g·x, heat and tension at the first settled window after it. */
  readonly takenUpMm: number;
  readonly zoneHeat: number;
  readonly ambientHeat: number;
  readonly tensionN: number;
}

/** The kinds that move the carriage or change what it reads, and so can explain a step. */
export function explainsStep(entry: WorkEntry): boolean {
  switch (entry.kind) {
    case 'chain-removed':
    case 'chain-inserted':
    case 'chain-replaced':
    case 'nut-turned':
    case 'spring-replaced':
    case 'sensor-rezeroed':
      return true;
    default:
      return false;
  }
}

/** Whether an entry's figures refer to something that must be measured when it takes effect. */
export function needsAnchor(entry: WorkEntry): boolean {
  switch (entry.kind) {
    case 'chain-replaced':
    case 'spring-replaced':
    case 'sensor-rezeroed':
      return true;
    case 'nut-turned':
      return entry.springMm !== undefined;
    default:
      return false;
  }
}
