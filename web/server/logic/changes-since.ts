import type { ChangesMessage } from './live-messages.js';
import type { Changed, LivePicture } from './live-picture.js';

/**
 * How often the picture has changed, and what changed last at which count. A screen is known by the count it has been told up to:
 * all that stand at the same one get the same message, which is made, and written out, once.
 */
export class ChangesSince {
  private count = 0;
  private standingAt = 0;
  private linkAt = 0;
  /** By take-up, those that changed last at the end. */
  private readonly takeups = new Map<string, number>();

  note({ takeup, standing, link }: Changed): void {
    if (takeup === undefined && !standing && !link) return;
    this.count += 1;
    if (standing) this.standingAt = this.count;
    if (link) this.linkAt = this.count;
    if (takeup === undefined) return;
    this.takeups.delete(takeup);
    this.takeups.set(takeup, this.count);
  }

  /** How far a screen has been told that knows everything. */
  now(): number {
    return this.count;
  }

  /** What a screen that was told so far does not know yet: the latest of each, however often it changed. */
  message(toldTo: number, picture: LivePicture, atMs: number): ChangesMessage {
    const takeups = [...this.takeups].flatMap(([key, at]) => (at > toldTo ? (picture.takeup(key) ?? []) : []));
    return {
      atMs,
      ...(this.linkAt > toldTo ? { link: picture.linkState() } : {}),
      ...(this.standingAt > toldTo ? { standing: picture.standingAlarms() } : {}),
      ...(takeups.length > 0 ? { takeups } : {}),
    };
  }
}
