/** A cell: a number as it is, text, or nothing where a value is not known. */
export type CsvCell = number | string | null;

/** Rows as CSV after RFC 4180: CRLF, quotes only where they are needed. A number has a point, no mark between thousands. */
export function toCsv(head: readonly string[], rows: readonly (readonly CsvCell[])[]): string {
  return [head, ...rows].map((row) => `${row.map(cell).join(',')}\r\n`).join('');
}

function cell(value: CsvCell): string {
  if (value === null || (typeof value === 'number' && !Number.isFinite(value))) return '';
  if (typeof value === 'number') return String(value);
  // What a spreadsheet would take for a formula stays words.
  const text = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
