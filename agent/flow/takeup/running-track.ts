import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';

export interface Turn {
  readonly atMs: number;
  /** 1 running, 0 standing, NaN unknown. */
  readonly state: number;
  /** Running time up to here. */
  readonly ranMs: number;
}

export interface RunningTrackSaved {
  readonly turns: readonly { readonly atMs: number; readonly state: SavedNumber; readonly ranMs: number }[];
}

/** Positions are judged a few readings late, so the last turns are kept: so many are enough for minutes of starts and stops. */
const KEEP = 64;

/**
 * When a conveyor ran. The signal holds its last value; lost or at fault it is unknown. With no running signal configured a conveyor
 * counts as always running.
 */
export class RunningTrack {
  private readonly turns: Turn[];

  /** @param always - no running signal is configured */
  constructor(always: boolean, saved?: RunningTrackSaved) {
    this.turns = saved
      ? saved.turns.map((turn) => ({ ...turn, state: fromSaved(turn.state) }))
      : [{ atMs: 0, state: always ? 1 : NaN, ranMs: 0 }];
  }

  /** Says what the conveyor does from a time on. A repeated state is no turn. @returns whether it was one */
  turn(atMs: number, state: number): boolean {
    const last = this.turns[this.turns.length - 1] as Turn;
    if (Object.is(last.state, state) || atMs < last.atMs) return false;
    this.turns.push({ atMs, state, ranMs: this.ranMsAt(atMs) });
    if (this.turns.length > KEEP) this.turns.shift();
    return true;
  }

  /** The last turn: nearly always the one whose state holds. */
  get last(): Turn {
    return this.turns[this.turns.length - 1] as Turn;
  }

  /** The turn whose state holds at a time: looked up once where several things are asked of it. */
  turnAt(timeMs: number): Turn {
    for (let i = this.turns.length - 1; i > 0; i--) {
      const turn = this.turns[i] as Turn;
      if (turn.atMs <= timeMs) return turn;
    }
    return this.turns[0] as Turn;
  }

  /** 1 running, 0 standing, NaN unknown. */
  at(timeMs: number): number {
    return this.turnAt(timeMs).state;
  }

  /** When the state at a time began. */
  sinceMs(timeMs: number): number {
    return this.turnAt(timeMs).atMs;
  }

  /** Running time up to a time, in ms since the track began: the clock that stands while the conveyor does. */
  ranMsAt(timeMs: number): number {
    const turn = this.turnAt(timeMs);
    return turn.state === 1 ? turn.ranMs + (timeMs - turn.atMs) : turn.ranMs;
  }

  /** How long the conveyor stood before the running that goes on at a time; 0 where it never stood. */
  stoodBeforeMs(timeMs: number): number {
    for (let i = this.turns.length - 1; i > 0; i--) {
      const turn = this.turns[i] as Turn;
      if (turn.atMs <= timeMs) return turn.atMs - (this.turns[i - 1] as Turn).atMs;
    }
    return 0;
  }

  save(): RunningTrackSaved {
    return { turns: this.turns.map((turn) => ({ ...turn, state: toSaved(turn.state) })) };
  }
}
