/** A record, quoted fields and all, may not be longer than this; it is the reader's guard against a quote that is never closed. */
export const LONGEST_RECORD = 65_536;

const NEWLINE = 0x0a;
const RETURN = 0x0d;
const QUOTE = 0x22;
const COMMA = 0x2c;

const decoder = new TextDecoder();

/** One record of a CSV file as texts. */
export interface CsvRecord {
  readonly fields: readonly string[];
  /** Offset of what follows the record. */
  readonly next: number;
  /** Lines of the file it takes up: more than one where a quoted field holds line breaks. */
  readonly lines: number;
}

/**
 * Reads the record at `bytes[at, end)` as RFC 4180 has it: quoted fields may hold commas, line breaks and doubled quotes.
 * It takes its time; the scanner calls it only for what it does not know itself.
 *
 * @returns the record; `unfinished` where `end` comes first; `malformed` where text follows a closing quote or the record
 *   is longer than `LONGEST_RECORD`
 */
export function readCsvRecord(bytes: Uint8Array, at: number, end: number): CsvRecord | 'unfinished' | 'malformed' {
  const limit = Math.min(end, at + LONGEST_RECORD);
  const fields: string[] = [];
  let lines = 1;
  let from = at;
  for (;;) {
    let text = '';
    if (bytes[from] === QUOTE && from < limit) {
      const quoted = readQuoted(bytes, from, limit);
      if (quoted === undefined) break;
      text = quoted.text;
      lines += quoted.lineBreaks;
      from = quoted.next;
    } else {
      const stop = nextOf(bytes, from, limit, COMMA, NEWLINE);
      if (stop === limit) break;
      text = decoder.decode(bytes.subarray(from, bytes[stop] === NEWLINE && bytes[stop - 1] === RETURN && stop > from ? stop - 1 : stop));
      from = stop;
    }
    fields.push(text);
    if (bytes[from] === RETURN && bytes[from + 1] === NEWLINE && from + 1 < limit) from++;
    if (from >= limit || (bytes[from] === RETURN && from + 1 === limit)) break;
    if (bytes[from] === NEWLINE) return { fields, next: from + 1, lines };
    if (bytes[from] !== COMMA) return 'malformed';
    from++;
  }
  return end - at > LONGEST_RECORD ? 'malformed' : 'unfinished';
}

/** The quoted field that starts at `from`; `undefined` where its closing quote lies beyond `limit`. */
function readQuoted(bytes: Uint8Array, from: number, limit: number): { text: string; next: number; lineBreaks: number } | undefined {
  let text = '';
  for (let start = from + 1; ;) {
    const stop = nextOf(bytes, start, limit, QUOTE, QUOTE);
    // A quote that is the last byte may yet turn out to be the first of two.
    if (stop + 1 >= limit) return undefined;
    text += decoder.decode(bytes.subarray(start, stop));
    if (bytes[stop + 1] !== QUOTE) return { text, next: stop + 1, lineBreaks: text.split('\n').length - 1 };
    text += '"';
    start = stop + 2;
  }
}

function nextOf(bytes: Uint8Array, from: number, limit: number, one: number, other: number): number {
  let at = from;
  while (at < limit && bytes[at] !== one && bytes[at] !== other) at++;
  return at;
}
