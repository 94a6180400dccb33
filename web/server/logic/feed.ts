import type { ChangesMessage } from './live-messages.js';
import type { Changed, LivePicture } from './live-picture.js';

/** A screen hears from the server at least so often, so that it can tell quiet from broken. */
const SIGN_OF_LIFE_MS = 1_000;

/**
 * What one screen has still to be told. While a message is on its way and not taken, changes gather: a slow screen gets
 * the latest value of each take-up, never a queue.
 */
export class Feed {
  private readonly takeups = new Set<string>();
  private standing = false;
  private link = false;
  private sentMs: number;
  private underWay = false;

  /** @param startMs - when the whole picture was sent */
  constructor(startMs: number) {
    this.sentMs = startMs;
  }

  note(changed: Changed): void {
    if (changed.takeup !== undefined) this.takeups.add(changed.takeup);
    this.standing ||= changed.standing;
    this.link ||= changed.link;
  }

  /** The message that is due, which then counts as under way; undefined where there is nothing to say or the last is not taken. */
  next(picture: LivePicture, atMs: number): ChangesMessage | undefined {
    const something = this.takeups.size > 0 || this.standing || this.link;
    if (this.underWay || (!something && atMs - this.sentMs < SIGN_OF_LIFE_MS)) return undefined;
    const message: ChangesMessage = {
      atMs,
      ...(this.link ? { link: picture.linkState() } : {}),
      ...(this.standing ? { standing: picture.standingAlarms() } : {}),
      ...(this.takeups.size > 0 ? { takeups: [...this.takeups].flatMap((key) => picture.takeup(key) ?? []) } : {}),
    };
    this.takeups.clear();
    this.standing = false;
    this.link = false;
    this.underWay = true;
    this.sentMs = atMs;
    return message;
  }

  taken(): void {
    this.underWay = false;
  }

  /** Since when a message has been under way; undefined while none is. */
  waitingSinceMs(): number | undefined {
    return this.underWay ? this.sentMs : undefined;
  }
}
