const NO_SIGNAL = -1;
const encoder = new TextEncoder();

/**
 * The known signals, found by the bytes of their names without making text of them.
 *
 * A recording's signals mostly come round in the same order, so the one that followed last time is compared first;
 * a guess that fails costs a few bytes' comparison, then the hash table answers.
 */
export class SignalNames {
  /** How many signals are known. */
  readonly count: number;
  readonly #names: Uint8Array;
  /** Where each name starts in `#names`; one more at the end. */
  readonly #starts: Int32Array;
  /** Open addressing, at least twice as large as it is full. */
  readonly #table: Int32Array;
  /** The signal that came after each signal when it was last seen; the last entry is what came first of all. */
  readonly #successor: Int32Array;
  #previous: number;

  /** @param known - names of the site's signals; `find` gives indexes into it */
  constructor(known: readonly string[]) {
    this.count = known.length;
    const encoded = known.map((name) => encoder.encode(name));
    this.#names = new Uint8Array(encoded.reduce((sum, name) => sum + name.length, 0));
    this.#starts = new Int32Array(known.length + 1);
    this.#table = new Int32Array(2 ** Math.ceil(Math.log2(known.length * 2 + 2))).fill(NO_SIGNAL);
    this.#successor = new Int32Array(known.length + 1);
    this.#previous = known.length;
    encoded.forEach((name, index) => {
      const start = this.#starts[index] as number;
      this.#names.set(name, start);
      this.#starts[index + 1] = start + name.length;
      let slot = hash(name, 0, name.length) & (this.#table.length - 1);
      while (this.#table[slot] !== NO_SIGNAL) slot = (slot + 1) & (this.#table.length - 1);
      this.#table[slot] = index;
    });
  }

  /** The index of the signal that `bytes[start, end)` names in UTF-8, or −1. */
  find(bytes: Uint8Array, start: number, end: number): number {
    const mask = this.#table.length - 1;
    for (let slot = hash(bytes, start, end) & mask; ; slot = (slot + 1) & mask) {
      const index = this.#table[slot] as number;
      if (index === NO_SIGNAL || this.#is(index, bytes, start, end)) return index;
    }
  }

  /** The index of the signal whose name stands at `start` with `delimiter` after it, or −1. Nothing from `to` on is looked at. */
  findBefore(bytes: Uint8Array, start: number, to: number, delimiter: number): number {
    const guess = this.#successor[this.#previous] as number;
    let end = start + this.lengthOf(guess);
    if (end < to && bytes[end] === delimiter && this.#is(guess, bytes, start, end)) {
      this.#previous = guess;
      return guess;
    }
    for (end = start; end < to && bytes[end] !== delimiter;) end++;
    if (end === to) return NO_SIGNAL;
    const index = this.find(bytes, start, end);
    if (index >= 0) {
      this.#successor[this.#previous] = index;
      this.#previous = index;
    }
    return index;
  }

  /** Bytes that a signal's name takes. */
  lengthOf(index: number): number {
    return (this.#starts[index + 1] as number) - (this.#starts[index] as number);
  }

  #is(index: number, bytes: Uint8Array, start: number, end: number): boolean {
    const names = this.#names;
    const from = this.#starts[index] as number;
    const length = end - start;
    if (this.lengthOf(index) !== length) return false;
    // Names of one site differ at their ends more often than at their beginnings.
    for (let i = length - 1; i >= 0; i--) {
      if (names[from + i] !== bytes[start + i]) return false;
    }
    return true;
  }
}

/** FNV-1a (Fowler, Noll, Vo) over 32 bits, its upper half folded in because the table looks at the lower bits. */
function hash(bytes: Uint8Array, start: number, end: number): number {
  let value = 0x811c9dc5;
  for (let i = start; i < end; i++) value = Math.imul(value ^ (bytes[i] as number), 0x01000193);
  return value ^ (value >>> 15);
}
