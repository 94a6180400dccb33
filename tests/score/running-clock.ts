/** Running time as it really was, to count delays by. */
export class RunningClock {
  private readonly starts: number[] = [];
  private readonly ends: number[] = [];
  private runs = false;

  turn(timeMs: number, running: boolean): void {
    if (running === this.runs) return;
    this.runs = running;
    (running ? this.starts : this.ends).push(timeMs);
  }

  /** Milliseconds of running between two times; all of them where no running was ever told. */
  between(fromMs: number, toMs: number): number {
    if (this.starts.length === 0) return toMs - fromMs;
    return this.starts.reduce((sum, start, index) => {
      const end = this.ends[index] ?? Infinity;
      return sum + Math.max(0, Math.min(end, toMs) - Math.max(start, fromMs));
    }, 0);
  }
}
