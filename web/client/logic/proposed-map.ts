const DELIMITERS = [';', '\t', ',', '|'] as const;
const TIME_NAME = /time|date|stamp|zeit|datum|dato|tid/i;
const NAME_NAME = /tag|name|signal|point|item/i;
const VALUE_NAME = /value|reading|wert|verdi/i;
const DECIMAL_COMMA = /(^|[^\d,])-?\d+,\d+($|[^\d,])/;

/**
 * A mapping to begin with, guessed from the first lines of a file: what it says is to be looked at and put right.
 *
 * @param signals - of the site
 */
export function proposedMap(lines: readonly string[], signals: readonly string[], zone: string): string {
  const [header = '', first = ''] = lines;
  if (header.trimStart().startsWith('{')) return 'form: mqtt\n';
  const delimiter = mostFrequent(header);
  const columns = header
    .replace(/^\ufeff/, '')
    .split(delimiter)
    .map(unquoted);
  const times = columns.filter((column) => TIME_NAME.test(column));
  const value = columns.find((column) => VALUE_NAME.test(column));
  const name = columns.find((column) => NAME_NAME.test(column) && column !== value && !times.includes(column));
  const long = value !== undefined && name !== undefined;
  const names = long ? namesIn(lines.slice(1), delimiter, columns.indexOf(name)) : columns.filter((column) => !times.includes(column));
  const comma = delimiter !== ',' && first.split(delimiter).some((field) => DECIMAL_COMMA.test(field));
  return [
    `form: ${long ? 'long' : 'wide'}`,
    `delimiter: ${delimiter === '\t' ? 'tab' : JSON.stringify(delimiter)}`,
    ...(comma ? ['decimal: ","'] : []),
    `time: { columns: [${(times.length > 0 ? times : columns.slice(0, 1)).map((column) => JSON.stringify(column)).join(', ')}], format: iso, zone: ${zone} }`,
    ...(long ? [`long: { name: ${JSON.stringify(name)}, value: ${JSON.stringify(value)} }`] : []),
    'signals:',
    ...names.map((one, index) => `  - { from: ${JSON.stringify(one)}, signal: ${nearest(one, signals) ?? signals[index] ?? ''} }`),
    '',
  ].join('\n');
}

function mostFrequent(header: string): string {
  const count = (delimiter: string): number => header.split(delimiter).length;
  return DELIMITERS.reduce((best: string, one) => (count(one) > count(best) ? one : best), ',');
}

function unquoted(field: string): string {
  return field.trim().replace(/^"(.*)"$/, '$1');
}

function namesIn(lines: readonly string[], delimiter: string, column: number): readonly string[] {
  return [...new Set(lines.map((line) => unquoted(line.split(delimiter)[column] ?? '')).filter((name) => name !== ''))];
}

/** The signal whose words the name has most of. */
function nearest(name: string, signals: readonly string[]): string | undefined {
  const words = name.toLowerCase().split(/[^a-z0-9]+/);
  const shared = (signal: string): number =>
    signal.split('/').filter((part) => words.some((word) => word.length > 1 && (part.startsWith(word) || word.startsWith(part)))).length;
  const best = signals.toSorted((a, b) => shared(b) - shared(a))[0];
  return best !== undefined && shared(best) > 0 ? best : undefined;
}
