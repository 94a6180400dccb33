/**
 * Sessions that were signed out before they ran out. The cookie is sealed and holds all there is of a session, so that
 * several servers need share nothing; a copy of it must yet be worth nothing once its owner has signed out.
 */
export class EndedSessions {
  /** Until when each would have lasted. */
  private readonly ended = new Map<string, number>();

  /** @param lifeMs - the longest that a session lasts without being used */
  constructor(private readonly lifeMs: number) {}

  end(session: string, atMs: number): void {
    // In the order in which they ended, which is that in which they run out.
    for (const [old, untilMs] of this.ended) {
      if (untilMs > atMs) break;
      this.ended.delete(old);
    }
    this.ended.set(session, atMs + this.lifeMs);
  }

  has(session: string): boolean {
    return this.ended.has(session);
  }

  /** How many are remembered. */
  get size(): number {
    return this.ended.size;
  }
}
