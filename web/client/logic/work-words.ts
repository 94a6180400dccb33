import type { ServiceKind } from '../../../agent/contract/service-entry.js';
import type { FindingKey } from '../../../agent/flow/output.js';
import { formatNumber, showText, type UnitSystem } from '../../../agent/units/display.js';

const FINDING_WORDS: Readonly<Record<FindingKey, string>> = {
  'chain-removed': 'Chain taken out',
  'chain-inserted': 'Chain put in',
  'step-unexplained': 'Moved, and nothing says why',
  'nut-turned': 'Adjusting nut turned',
  'carriage-stuck': 'Carriage not moving',
  'chain-caught': 'Chain held somewhere',
  'chain-slack': 'Chain gave way',
  'skew-growing': 'Skew growing',
  'wear-fast': 'Wearing fast',
  'sensor-doubtful': 'Sensor doubtful',
};

/** A finding's name for people; a key that this screen does not know yet is shown as it is. */
export function findingWords(finding: string): string {
  return (FINDING_WORDS as Readonly<Record<string, string>>)[finding] ?? finding.replaceAll('-', ' ');
}

const KIND_WORDS: Readonly<Record<ServiceKind, string>> = {
  'chain-removed': 'Chain taken out',
  'chain-inserted': 'Chain put in',
  'chain-replaced': 'Chain replaced',
  'nut-turned': 'Adjusting nut turned',
  'spring-replaced': 'Spring replaced',
  'sensor-rezeroed': 'Position sensor set anew',
  lubricated: 'Chain lubricated',
  inspected: 'Inspected',
  'service-opened': 'Service begun',
  'service-closed': 'Service ended',
  correction: 'Correction',
  note: 'Note',
};

/** What was done, by its kind; a kind that this screen does not know yet is shown as it is. */
export function kindWords(kind: string): string {
  return (KIND_WORDS as Readonly<Record<string, string>>)[kind] ?? kind.replaceAll('-', ' ');
}

type Json = Readonly<Record<string, unknown>>;

/**
 * What an entry says was done, to follow a colon: `2 pitches taken out`, `left spring set to 240.0 mm`.
 *
 * @param entry - in the contract's own form; what is not there is left out of the sentence
 */
export function entryWords(entry: Json, units: UnitSystem): string {
  const write = typeof entry['kind'] === 'string' ? WRITERS[entry['kind']] : undefined;
  return write === undefined ? kindWords(textOf(entry['kind'])).toLowerCase() : write(entry, units);
}

/** `entryWords` where a sentence begins; what a person wrote is left as they wrote it. */
export function entrySentence(entry: Json, units: UnitSystem): string {
  const words = entryWords(entry, units);
  if (entry['kind'] === 'note') return words;
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}`;
}

const WRITERS: Readonly<Partial<Record<string, (entry: Json, units: UnitSystem) => string>>> = {
  'chain-removed': (entry) => `${pitches(entry)} taken out${carriers(entry)}`,
  'chain-inserted': (entry) => `${pitches(entry)} put in`,
  'chain-replaced': (entry) => `chain replaced by one of ${pitches(entry)}`,
  'nut-turned': (entry, units) => {
    const turns = numberOf(entry['turns']);
    if (turns === undefined) return `${side(entry)} spring set to ${length(entry['spring_mm'], units)}`;
    const count = formatNumber(Math.abs(turns), Number.isInteger(turns) ? 0 : 2);
    return `${side(entry)} nut ${turns < 0 ? 'slackened' : 'tightened'} by ${count} ${Math.abs(turns) === 1 ? 'turn' : 'turns'}`;
  },
  'spring-replaced': (entry, units) => `${side(entry)} spring replaced, set to ${length(entry['spring_mm'], units)}`,
  'sensor-rezeroed': (entry, units) => `${side(entry)} position sensor set anew, reads ${length(entry['position_mm'], units)}`,
  lubricated: () => 'chain lubricated',
  inspected: (entry) =>
    [
      'inspected',
      entry['rock'] === 'excessive' ? 'chain rocks too much' : 'rock of the chain in order',
      entry['restraint_nuts'] === 'in' ? 'restraint nuts run in' : 'restraint nuts out',
      ...remark('noise', entry['noise']),
      ...remark('filings', entry['filings']),
      ...(typeof entry['note'] === 'string' ? [entry['note']] : []),
    ].join(', '),
  'service-opened': () => 'service begun',
  'service-closed': () => 'service ended',
  note: (entry) => textOf(entry['text']),
};

function pitches(entry: Json): string {
  const count = numberOf(entry['pitches']);
  return count === undefined ? 'chain' : `${String(count)} ${count === 1 ? 'pitch' : 'pitches'}`;
}

function carriers(entry: Json): string {
  const count = numberOf(entry['carriers']) ?? 0;
  return count === 0 ? '' : `, ${String(count)} ${count === 1 ? 'carrier' : 'carriers'} with them`;
}

function side(entry: Json): string {
  return textOf(entry['side']);
}

function length(mm: unknown, units: UnitSystem): string {
  const value = numberOf(mm);
  return value === undefined ? 'an unknown length' : showText('travel', value, units);
}

function remark(name: string, value: unknown): readonly string[] {
  if (typeof value === 'string' && value !== '') return [`${name}: ${value}`];
  if (value === true) return [name];
  return value === false ? [`no ${name}`] : [];
}

function numberOf(value: unknown): number | undefined {
  return typeof value === 'number' ? value : undefined;
}

function textOf(value: unknown): string {
  return typeof value === 'string' ? value : '';
}
