/** A screen hears from the server at least so often, so that it can tell quiet from broken. */
const SIGN_OF_LIFE_MS = 1_000;

/**
 * How far one screen has been told of changes, counted as {@link ChangesSince} counts them. While a message is on its way and not
 * taken, changes gather: a slow screen gets the latest value of each take-up, never a queue.
 */
export class Feed {
  private underWay = false;

  /**
   * @param toldTo - count of the changes that the whole picture held
   * @param sentMs - when it was sent
   */
  constructor(
    private toldTo: number,
    private sentMs: number,
  ) {}

  /** From which count on a message is due; undefined where there is nothing to say or the last is not taken. */
  dueFrom(count: number, atMs: number): number | undefined {
    if (this.underWay || (count === this.toldTo && atMs - this.sentMs < SIGN_OF_LIFE_MS)) return undefined;
    return this.toldTo;
  }

  sent(count: number, atMs: number): void {
    this.toldTo = count;
    this.sentMs = atMs;
    this.underWay = true;
  }

  taken(): void {
    this.underWay = false;
  }

  /** Since when a message has been under way; undefined while none is. */
  waitingSinceMs(): number | undefined {
    return this.underWay ? this.sentMs : undefined;
  }
}
