import type { Clock } from '../process/clock.js';

/**
 * The data's own time as it passes live. Sensors whose clocks are slow, or a recording that is played to the broker, lie behind the
 * machine's clock; silence is counted on theirs. It is the clock less the least delay of late, and never ahead of it.
 */
export class DataTime implements Clock {
  /** Reading's time less its arrival, the greatest of this stretch and of the one before with any reading. */
  private leadMs = -Infinity;
  private earlierMs = -Infinity;
  private sinceMs = -Infinity;

  /**
   * @param rememberMs - a stretch: as long as any signal may be silent before it is lost, so that a signal whose clock is right is
   *   missed before one whose clock is slow sets the time
   */
  constructor(
    private readonly clock: Clock,
    private readonly rememberMs: number,
  ) {}

  /** Takes note of a reading's own time and when it arrived by the clock. */
  heard(timeMs: number, arrivalMs: number): void {
    this.turn(arrivalMs);
    const lead = timeMs - arrivalMs;
    if (lead > this.leadMs) this.leadMs = lead;
  }

  nowMs(): number {
    const nowMs = this.clock.nowMs();
    const lead = Math.max(this.leadMs, this.earlierMs);
    return lead > -Infinity ? nowMs + Math.min(0, lead) : nowMs;
  }

  private turn(nowMs: number): void {
    if (Math.abs(nowMs - this.sinceMs) < this.rememberMs) return;
    if (this.leadMs > -Infinity) this.earlierMs = this.leadMs;
    this.leadMs = -Infinity;
    this.sinceMs = nowMs;
  }
}
