import { nearMiss } from '../site/near-miss.js';
import { parseTime, wholeTime } from '../units/time.js';

/**
 * Takes the fields of a JSON object one by one, each with what it must be. The first fault is kept, and what was never
 * asked for is an unknown key; so the reader of a kind is itself the list of that kind's keys. A null counts as left out.
 */
export class EntryFields {
  readonly #json: Readonly<Record<string, unknown>>;
  readonly #asked = new Set<string>();
  #fault: string | undefined;

  constructor(json: Readonly<Record<string, unknown>>) {
    this.#json = json;
  }

  /** Whether a field is given. */
  has(key: string): boolean {
    return this.#take(key) !== undefined;
  }

  /** Whether a key stands there at all, with null perhaps. */
  gives(key: string): boolean {
    this.#asked.add(key);
    return Object.hasOwn(this.#json, key);
  }

  /** Keeps a fault unless there is one already. */
  refuse(fault: string): void {
    this.#fault ??= fault;
  }

  /** An instant: ISO 8601 with offset, or epoch milliseconds. NaN where it is none. */
  time(key: string): number {
    const value = this.#take(key);
    const ms = typeof value === 'string' ? (parseTime(value.trim()) ?? NaN) : typeof value === 'number' ? wholeTime(value) : NaN;
    if (Number.isNaN(ms)) this.#refuseValue(key, value, 'a time with its offset, such as 2026-01-05T06:00:00Z');
    return ms;
  }

  text(key: string): string {
    const value = this.#take(key);
    if (typeof value === 'string' && value.trim() !== '') return value;
    this.#refuseValue(key, value, 'a text');
    return '';
  }

  word<Word extends string>(key: string, words: readonly [Word, ...Word[]]): Word {
    const value = this.#take(key);
    const word = words.find((candidate) => candidate === value);
    if (word === undefined)
      this.#refuseValue(key, value, `one of ${words.join(', ')}`, typeof value === 'string' ? nearMiss(value, words) : undefined);
    return word ?? words[0];
  }

  /** A whole number from `least` up. */
  count(key: string, least: number): number {
    const value = this.#take(key);
    if (typeof value === 'number' && Number.isSafeInteger(value) && value >= least) return value;
    this.#refuseValue(key, value, `a whole number from ${least} up`);
    return NaN;
  }

  number(key: string): number {
    const value = this.#take(key);
    if (typeof value === 'number' && Number.isFinite(value)) return value;
    this.#refuseValue(key, value, 'a number');
    return NaN;
  }

  positive(key: string): number {
    const value = this.#take(key);
    if (typeof value === 'number' && Number.isFinite(value) && value > 0) return value;
    this.#refuseValue(key, value, 'a number above 0');
    return NaN;
  }

  truth(key: string): boolean {
    const value = this.#take(key);
    if (typeof value !== 'boolean') this.#refuseValue(key, value, 'true or false');
    return value === true;
  }

  /** Yes or no, or words. */
  remark(key: string): boolean | string {
    const value = this.#take(key);
    if (typeof value === 'boolean' || typeof value === 'string') return value;
    this.#refuseValue(key, value, 'true, false or a text');
    return false;
  }

  /** A field of any form. */
  any(key: string): unknown {
    return this.#take(key);
  }

  /** The first fault, or the first key that nobody asked for. */
  fault(where: string): string | undefined {
    const asked = [...this.#asked];
    const unknown = Object.keys(this.#json).find((key) => !this.#asked.has(key));
    if (unknown === undefined) return this.#fault;
    // An unknown key beside a missing one is a slip of the pen: what was meant says more than what is missing.
    const meant = nearMiss(unknown, asked);
    return `${where} has no field "${unknown}"; ${meant === undefined ? `it has ${asked.join(', ')}` : `perhaps ${meant} was meant`}`;
  }

  #take(key: string): unknown {
    this.#asked.add(key);
    return this.#json[key] ?? undefined;
  }

  #refuseValue(key: string, value: unknown, expected: string, meant?: string): void {
    if (value === undefined) this.refuse(`${key} is missing; it must be ${expected}`);
    else
      this.refuse(`${key} is ${JSON.stringify(value)}; it must be ${expected}${meant === undefined ? '' : `; perhaps ${meant} was meant`}`);
  }
}
