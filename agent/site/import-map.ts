import { Type, type Static } from 'typebox';
import { Check } from 'typebox/value';
import { nearMiss } from './near-miss.js';
import { listOf, section, words } from './schema-parts.js';
import { inspectShape } from './shape.js';
import { keyOf, type Complaint, type SiteFault } from './site-fault.js';
import { textComplaint } from './text.js';
import { readYaml } from './yaml-source.js';

const PAIRS = 'which column (or, in long form, which name) is which signal of the site';

const IMPORT_MAP = section('How a foreign recording is read.', {
  form: Type.Optional(
    words('`wide`: a column a signal; `long`: a row a reading; `mqtt`: JSON lines of time, topic, payload. Default wide.'),
  ),
  delimiter: Type.Optional(words('What stands between columns; `tab` for a tabulator. Default a comma.')),
  decimal: Type.Optional(words('`.` or `,`. Default a point.')),
  encoding: Type.Optional(words('`utf-8`, `latin1` or `utf-16le`. Default utf-8.')),
  skip_lines: Type.Optional(Type.Integer({ minimum: 0, description: 'Lines before the one that names the columns. Default 0.' })),
  time: Type.Optional(
    section('Where the time stands and how it is written.', {
      columns: listOf('One column, or date and time of day in two.', words('The name of a column.')),
      format: Type.Optional(words('`iso`, `epoch-ms`, `epoch-s`, or a pattern of YYYY YY MM M DD D HH H hh h mm ss SSS A. Default iso.')),
      zone: Type.Optional(words('IANA time zone of times without an offset, such as Europe/Oslo.')),
    }),
  ),
  long: Type.Optional(
    section('The columns of the long form.', { name: words('Holds the names of signals.'), value: words('Holds the values.') }),
  ),
  signals: Type.Optional(
    listOf(PAIRS, section(PAIRS, { from: words('The column or the name in the file.'), signal: words('The signal of the site.') })),
  ),
  missing: Type.Optional(listOf('Texts that stand for no reading, beside an empty field.', words('Such as NaN or Bad.'))),
});

/** How a foreign recording is read, every default filled in. */
export interface ImportMap {
  readonly form: 'wide' | 'long' | 'mqtt';
  readonly delimiter: string;
  readonly decimal: '.' | ',';
  readonly encoding: 'utf-8' | 'latin1' | 'utf-16le';
  readonly skipLines: number;
  readonly timeColumns: readonly string[];
  readonly timeFormat: string;
  readonly zone: string | undefined;
  readonly nameColumn: string;
  readonly valueColumn: string;
  /** By the column or the name in the file: the signal of the site. */
  readonly signals: ReadonlyMap<string, string>;
  readonly missing: ReadonlySet<string>;
}

export type ImportMapReading =
  { readonly ok: true; readonly map: ImportMap } | { readonly ok: false; readonly faults: readonly SiteFault[] };

const FORMS = ['wide', 'long', 'mqtt'] as const;
const DECIMALS = ['.', ','] as const;
const ENCODINGS = ['utf-8', 'latin1', 'utf-16le'] as const;

/**
 * Reads a mapping file. All faults are found at once, each with its line.
 *
 * @param known - names of the site's signals
 */
export function readImportMap(text: string, fileName: string, known: readonly string[]): ImportMapReading {
  const at = (complaint: Complaint, place: { line: number; column: number }): SiteFault => {
    const { path, rule, message, meant } = complaint;
    return { file: fileName, ...place, key: keyOf(path), rule, message, ...(meant === undefined ? {} : { meant }) };
  };
  const content = text.replace(/^\uFEFF/u, '');
  const unreadable = textComplaint(content);
  if (unreadable !== undefined) return { ok: false, faults: [at(unreadable, unreadable)] };
  const yaml = readYaml(content);
  if (!yaml.ok) return { ok: false, faults: yaml.complaints.map((complaint) => at(complaint, complaint)) };
  const { value, placeOf, complaints } = yaml.source;
  const shape = inspectShape(IMPORT_MAP, value);
  const told = [...shape.complaints, ...(Check(IMPORT_MAP, value) ? meaningFaults(value, known) : [])];
  const faults = [
    ...complaints.map((complaint) => at(complaint, complaint)),
    ...told.map((complaint) => at(complaint, placeOf(complaint.path, complaint.at))),
  ];
  if (faults.length > 0 || !Check(IMPORT_MAP, value)) {
    return { ok: false, faults: faults.toSorted((a, b) => a.line - b.line || a.column - b.column) };
  }
  return { ok: true, map: filledIn(value) };
}

function filledIn(file: Static<typeof IMPORT_MAP>): ImportMap {
  return {
    form: oneOf(FORMS, file.form) ?? 'wide',
    delimiter: file.delimiter === 'tab' ? '\t' : (file.delimiter ?? ','),
    decimal: oneOf(DECIMALS, file.decimal) ?? '.',
    encoding: oneOf(ENCODINGS, file.encoding) ?? 'utf-8',
    skipLines: file.skip_lines ?? 0,
    timeColumns: file.time?.columns ?? ['time'],
    timeFormat: file.time?.format ?? 'iso',
    zone: file.time?.zone,
    nameColumn: file.long?.name ?? 'signal',
    valueColumn: file.long?.value ?? 'value',
    signals: new Map((file.signals ?? []).map(({ from, signal }) => [from, signal])),
    missing: new Set(['', ...(file.missing ?? [])]),
  };
}

function oneOf<Word extends string>(there: readonly Word[], given: string | undefined): Word | undefined {
  return there.find((word) => word === given);
}

function meaningFaults(file: Static<typeof IMPORT_MAP>, known: readonly string[]): readonly Complaint[] {
  const faults: Complaint[] = [];
  const choice = (key: 'form' | 'decimal' | 'encoding', there: readonly string[]): void => {
    const given = file[key];
    if (given === undefined || there.includes(given)) return;
    const meant = nearMiss(given, there);
    const message = `"${given}" is none of ${there.join(', ')}`;
    faults.push({ path: [key], at: 'value', rule: 'unknown-value', message, ...(meant === undefined ? {} : { meant }) });
  };
  choice('form', FORMS);
  choice('decimal', DECIMALS);
  choice('encoding', ENCODINGS);
  if (file.delimiter !== undefined && file.delimiter !== 'tab' && file.delimiter.length !== 1) {
    faults.push({ path: ['delimiter'], at: 'value', rule: 'unknown-value', message: 'a delimiter is one character, or the word tab' });
  }
  if (file.form !== 'mqtt' && file.signals === undefined) {
    faults.push({ path: ['signals'], at: 'key', rule: 'missing-key', message: `the key signals is missing: ${PAIRS}` });
  }
  const zone = file.time?.zone;
  if (zone !== undefined && !isZone(zone)) {
    faults.push({ path: ['time', 'zone'], at: 'value', rule: 'unknown-time-zone', message: `"${zone}" is no IANA time zone` });
  }
  file.signals?.forEach(({ from, signal }, index, all) => {
    if (!known.includes(signal)) {
      const meant = nearMiss(signal, known);
      const message = `the site has no signal ${signal}`;
      faults.push({
        path: ['signals', index, 'signal'],
        at: 'value',
        rule: 'unknown-value',
        message,
        ...(meant === undefined ? {} : { meant }),
      });
    }
    if (all.findIndex((other) => other.from === from) < index) {
      faults.push({ path: ['signals', index, 'from'], at: 'value', rule: 'signal-doubled', message: `"${from}" is mapped twice` });
    }
  });
  return faults;
}

function isZone(zone: string): boolean {
  try {
    new Intl.DateTimeFormat('en-GB', { timeZone: zone });
    return true;
  } catch {
    return false;
  }
}
