import { signalsOf, type Site } from '../../agent/site/site.js';

/** When a signal really did say nothing for as long as it may not: a network that loses one reading in a hundred loses two in a row. */
export class Silences {
  private readonly mayMs: ReadonlyMap<string, number>;
  private readonly last = new Map<string, number>();
  private readonly silent: (readonly [number, number])[] = [];

  constructor(site: Site) {
    this.mayMs = new Map(signalsOf(site).map(({ name, lostAfterMs }) => [name, lostAfterMs]));
  }

  hear(signal: string, timeMs: number): void {
    const lastMs = this.last.get(signal) ?? timeMs;
    const mayMs = this.mayMs.get(signal) ?? Infinity;
    // Half a second: readings come on their beat, give or take.
    if (timeMs - lastMs >= mayMs - 500) this.silent.push([lastMs + mayMs - 500, timeMs]);
    this.last.set(signal, timeMs);
  }

  /** Whether any signal was silent for too long at a time. */
  any(timeMs: number): boolean {
    return this.silent.some(([fromMs, toMs]) => timeMs >= fromMs && timeMs <= toMs);
  }
}
