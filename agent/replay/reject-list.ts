import type { RejectReason } from '../flow/output.js';

export interface RejectedRow {
  readonly line: number;
  readonly reason: RejectReason;
}

const REASONS: readonly RejectReason[] = ['unparsable', 'unknown-signal', 'out-of-range', 'spike', 'late', 'duplicate'];
const FIRST_ROOM = 1024;

/**
 * Rows that were not taken, as runs of lines rejected for one reason: a file that is nothing but bad rows, and unpacks to thousands of
 * millions of them, takes no more memory than one that is good.
 */
export class RejectList implements Iterable<RejectedRow> {
  private first = new Float64Array(FIRST_ROOM);
  private last = new Float64Array(FIRST_ROOM);
  private reason = new Uint8Array(FIRST_ROOM);
  private runs = 0;
  /** Rows in it. */
  count = 0;

  add(line: number, reason: RejectReason): void {
    const why = REASONS.indexOf(reason);
    this.count++;
    const run = this.runs - 1;
    if (run >= 0 && this.reason[run] === why && this.last[run] === line - 1) {
      this.last[run] = line;
      return;
    }
    if (this.runs === this.first.length) this.grow();
    this.first[this.runs] = line;
    this.last[this.runs] = line;
    this.reason[this.runs++] = why;
  }

  /** By line; rows of one line in the order in which they were added. */
  *[Symbol.iterator](): Generator<RejectedRow, void, undefined> {
    const order = Uint32Array.from({ length: this.runs }, (_, index) => index);
    order.sort((a, b) => (this.first[a] as number) - (this.first[b] as number) || a - b);
    for (const run of order) {
      const reason = REASONS[this.reason[run] as number] as RejectReason;
      for (let line = this.first[run] as number; line <= (this.last[run] as number); line++) yield { line, reason };
    }
  }

  private grow(): void {
    const room = 2 * this.first.length;
    const [first, last, reason] = [new Float64Array(room), new Float64Array(room), new Uint8Array(room)];
    first.set(this.first);
    last.set(this.last);
    reason.set(this.reason);
    [this.first, this.last, this.reason] = [first, last, reason];
  }
}
