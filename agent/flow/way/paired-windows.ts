import type { Conveyor } from '../../site/site.js';
import type { History } from '../ledger/history.js';
import type { Ledger } from '../ledger/ledger.js';
import type { WindowRecord } from '../ledger/window-record.js';
import type { SettledWindow } from '../position/settle-window.js';
import type { RunningTrack } from '../takeup/running-track.js';
import { LONG_STOP_MS } from './takeup-way.js';

/** A window of another take-up on the chain that is further off than this, or beyond a long stop, says nothing of this one's time. */
const OTHER_FRESH_MS = 2 * 3600_000;
const HOUR_MS = 3600_000;

type Others = Pick<WindowRecord, 'othersTakenUp' | 'othersTension'>;

/**
 * Pairs the settled windows of the take-ups on one chain: all of them close one path together (mechanics §2), so that each is held beside
 * the nearest in time of every other. Windows of one time come one after the other; the first is paired anew when the second is in.
 */
export class PairedWindows {
  constructor(
    private readonly conveyor: Conveyor,
    private readonly ledger: Ledger,
    private readonly histories: readonly History[],
    private readonly running: RunningTrack,
  ) {}

  /** Takes a settled window of one take-up in. @returns it, with what the others stood at */
  add(index: number, window: SettledWindow, date: string): WindowRecord {
    const history = this.histories[index] as History;
    const before = history.last;
    const runHours = this.running.ranMsAt(window.toMs) / HOUR_MS;
    const { othersTakenUp, othersTension } = this.othersAt(index, window);
    const record: WindowRecord = { ...window, date, windows: 1, runHours, othersTakenUp, othersTension };
    history.add(record);
    this.histories.forEach((other, otherIndex) => {
      const { last } = other;
      if (otherIndex === index || last === undefined || this.apartMs(record, last) >= this.apartMs(before, last)) return;
      other.replaceLast({ ...last, ...this.othersAt(otherIndex, last) });
    });
    return record;
  }

  private othersAt(index: number, window: SettledWindow): Others {
    let othersTakenUp = 0;
    let othersTension = 0;
    this.conveyor.takeups.forEach((takeup, other) => {
      if (other === index) return;
      const nearest = this.nearest(other, window);
      othersTakenUp += nearest === undefined ? NaN : takeup.gain * nearest.mean;
      othersTension += nearest === undefined ? NaN : this.ledger.figures(other, nearest).strandTensionN;
    });
    return { othersTakenUp, othersTension };
  }

  /** Of a take-up's last two windows the nearer one, where either says anything of that time. */
  private nearest(index: number, window: SettledWindow): WindowRecord | undefined {
    const { beforeLast: before, last } = this.histories[index] as History;
    const nearer = this.apartMs(before, window) <= this.apartMs(last, window) ? before : last;
    return this.apartMs(nearer, window) === Infinity ? undefined : nearer;
  }

  /** How far two windows lie apart; Infinity where one says nothing of the other's time. */
  private apartMs(one: WindowRecord | undefined, other: SettledWindow): number {
    if (one === undefined) return Infinity;
    const [fromMs, toMs] = one.toMs <= other.toMs ? [one.toMs, other.toMs] : [other.toMs, one.toMs];
    const stoodMs = toMs - fromMs - (this.running.ranMsAt(toMs) - this.running.ranMsAt(fromMs));
    return toMs - fromMs > OTHER_FRESH_MS || stoodMs >= LONG_STOP_MS ? Infinity : toMs - fromMs;
  }
}
