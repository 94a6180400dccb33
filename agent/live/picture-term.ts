import type { ConveyorWay } from '../flow/way/conveyor-way.js';
import type { SideTrack } from '../flow/takeup/takeup-track.js';

/** A picture goes out at most two times a second (contracts §5). */
const LEAST_BETWEEN_MS = 500;

/** When the picture of one take-up is to go out next. */
export class PictureTerm {
  due = false;

  private readonly sides: readonly SideTrack[];
  private newestMs = NaN;
  /** A reading came since the last picture. */
  private waiting = false;
  private sentMs = -Infinity;
  private lookedMs = -Infinity;

  constructor(
    readonly way: ConveyorWay,
    readonly index: number,
  ) {
    const track = way.tracks[index];
    this.sides = track === undefined ? [] : [track.left, track.right];
  }

  /** Sees whether the picture is to go out at this beat. What changes without a reading, as an alarm set aside, is looked for now and then. */
  look(wallMs: number): void {
    const stale = wallMs - this.lookedMs >= LEAST_BETWEEN_MS;
    this.due = (this.waiting || stale) && wallMs - this.sentMs >= LEAST_BETWEEN_MS;
    if (this.due) return;
    const newestMs = this.newestReadingMs();
    if (Object.is(newestMs, this.newestMs)) return;
    this.newestMs = newestMs;
    this.waiting = true;
  }

  /** The picture was made. @param changed - and sent, being another than the last */
  sent(changed: boolean, wallMs: number): void {
    this.due = false;
    this.waiting = false;
    this.newestMs = this.newestReadingMs();
    this.lookedMs = wallMs;
    if (changed) this.sentMs = wallMs;
  }

  private newestReadingMs(): number {
    let newestMs = NaN;
    for (const { positionSampler, springSampler } of this.sides) {
      newestMs = later(newestMs, positionSampler.lastMs);
      if (springSampler !== undefined) newestMs = later(newestMs, springSampler.lastMs);
    }
    return newestMs;
  }
}

/** The later of two times, either of which may be none (NaN). */
function later(a: number, b: number): number {
  return b > a || Number.isNaN(a) ? b : a;
}
