/** Where the three columns of a recording stand among those of its file. */
export interface CsvColumns {
  readonly time: number;
  readonly signal: number;
  readonly value: number;
}

const NAMES = ['time', 'signal', 'value'] as const;

/**
 * Finds the columns of a recording in a header: any order, others beside them, case and blanks around names ignored.
 *
 * @param header - the fields of the first line
 * @returns the columns, or in words what is wrong with the header
 */
export function findColumns(header: readonly string[]): CsvColumns | string {
  const names = header.map((name) => name.trim().toLowerCase());
  const found: number[] = [];
  for (const name of NAMES) {
    const index = names.indexOf(name);
    if (index < 0) return missing(header, name);
    if (names.includes(name, index + 1)) return `its header names the column ${name} twice`;
    found.push(index);
  }
  const [time, signal, value] = found as [number, number, number];
  return { time, signal, value };
}

function missing(header: readonly string[], name: string): string {
  const line = header.join(',');
  if ([...line].some((character) => character < ' ' && character !== '\t') || line.includes('\ufffd')) return 'this is no text in UTF-8';
  const shown = line.length > 60 ? `${line.slice(0, 60)} …` : line;
  const separators = header.length === 1 && /[;\t|]/.test(line) ? ' (columns are separated by commas)' : '';
  return `no column "${name}" in its first line "${shown}"${separators}`;
}
