import { TimeText } from './time-text.js';

/** The first line of a recording in text. */
export const HEADER = 'time,signal,value\n';

/** Rows of a recording as lines of CSV (contracts §2). */
export class RowText {
  readonly #times = new TimeText();
  /** Signal names as they stand in a field. */
  readonly #fields = new Map<string, string>();

  /** A line, its end included. */
  of(timeMs: number, signal: string, value: number): string {
    return `${this.#times.of(timeMs)},${this.#field(signal)},${value}\n`;
  }

  #field(signal: string): string {
    let field = this.#fields.get(signal);
    if (field === undefined) {
      field = /[",\r\n]|^\s|\s$/.test(signal) ? `"${signal.replaceAll('"', '""')}"` : signal;
      this.#fields.set(signal, field);
    }
    return field;
  }
}
