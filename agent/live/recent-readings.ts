/** Readings of each signal that are remembered: minutes of a quick sensor, and more than any broker has under way at once. */
const REMEMBERED = 256;

/** What came last of one signal: its times, and where in the ring the next one goes. */
interface Ring {
  readonly times: Float64Array;
  next: number;
  latestMs: number;
}

/**
 * Knows the readings that came last, by signal and time. A broker that did not hear its message acknowledged sends it again, and
 * after a crash of its own many of them: those are in the journal already.
 */
export class RecentReadings {
  private readonly rings = new Map<number, Ring>();

  /**
   * Remembers a reading that has its own time.
   * @returns false where it is one of those that came last: a repeated time and signal
   */
  admit(signal: number, timeMs: number): boolean {
    let ring = this.rings.get(signal);
    if (ring === undefined) {
      ring = { times: new Float64Array(REMEMBERED).fill(NaN), next: 0, latestMs: -Infinity };
      this.rings.set(signal, ring);
    }
    // Readings come in order of time but for a few: only those are looked for.
    if (timeMs > ring.latestMs) ring.latestMs = timeMs;
    else if (ring.times.includes(timeMs)) return false;
    ring.times[ring.next] = timeMs;
    ring.next = (ring.next + 1) % REMEMBERED;
    return true;
  }
}
