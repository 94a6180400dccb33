/** What a cell of a table can hold; nothing where there is no value. */
export type Cell = string | number | null | undefined;

const ROW_END = '\r\n';
/** A spreadsheet takes a cell that begins so for a formula, and what people type ends up in cells. */
const FORMULA = /^[=+\-@\t\r]/;
const NEEDS_QUOTES = /[",\r\n]/;

/** A row as RFC 4180 has it, its end included. */
export function csvRow(cells: readonly Cell[]): string {
  return cells.map(cellText).join(',') + ROW_END;
}

function cellText(cell: Cell): string {
  if (cell === null || cell === undefined) return '';
  if (typeof cell === 'number') return String(cell);
  const safe = FORMULA.test(cell) ? `'${cell}` : cell;
  return NEEDS_QUOTES.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
