import type { SideName } from '../../site/site.js';
import type { Output } from '../output.js';
import type { SideSetting } from './spring-state.js';
import type { TakeupTrack } from './takeup-track.js';

/** By side, what was told last; empty before anything was. */
export type SettingNotesSaved = readonly [left: string, right: string];

const SIDES = ['left', 'right'] as const satisfies readonly SideName[];

/** Tells how each side's spring is followed, at the first reading and whenever that becomes another. */
export class SettingNotes {
  private readonly seen: [SideSetting | undefined, SideSetting | undefined] = [undefined, undefined];
  private readonly told: [string, string];

  constructor(
    private readonly conveyor: string,
    private readonly track: TakeupTrack,
    saved: SettingNotesSaved = ['', ''],
  ) {
    this.told = [...saved];
  }

  /** Asked with every reading: nearly always both settings are the ones that were seen before. @returns whether they are not */
  look(timeMs: number, out: Output[]): boolean {
    const { track, seen } = this;
    if (track.left.setting === seen[0] && track.right.setting === seen[1]) return false;
    for (const at of [0, 1] as const) this.tell(at, timeMs, out);
    return true;
  }

  private tell(at: 0 | 1, timeMs: number, out: Output[]): void {
    const { takeup } = this.track;
    const { set, spring } = this.track[SIDES[at]].setting;
    this.seen[at] = this.track[SIDES[at]].setting;
    const setting: SideSetting = { set: { positionMm: set.positionMm, springMm: set.springMm }, spring };
    const text = JSON.stringify(setting);
    if (text === this.told[at]) return;
    this.told[at] = text;
    out.push({ kind: 'spring-setting', conveyor: this.conveyor, takeup: takeup.id, side: SIDES[at], timeMs, setting });
  }

  save(): SettingNotesSaved {
    return [...this.told];
  }
}
