import type { Conveyor } from '../../site/site.js';
import type { WorkEntry } from '../../contract/service-entry.js';
import { needsAnchor, type Anchor } from './placed-entry.js';
import type { RecentWindows, Step, WindowRecord } from './window-record.js';

const NONE: Omit<Anchor, 'atMs'> = Object.freeze({ sideMm: NaN, takenUpMm: NaN, zoneHeat: NaN, ambientHeat: NaN, tensionN: NaN });

/**
 * What an entry's figures refer to. A measured spring length refers to the carriage as it stood when the entry was made, unless it was
 * written down before the work; a re-zeroed sensor to the last reading in the old scale; a new chain to the first settled window.
 * @param capturedMm - the side's position when the entry became known
 * @returns undefined where nothing recent tells
 */
export function resolveAnchor(
  conveyor: Conveyor,
  recent: RecentWindows,
  entry: WorkEntry,
  atMs: number,
  step: Step | undefined,
  capturedMm: number,
  tensionOf: (takeupIndex: number, window: WindowRecord) => number,
): Anchor | undefined {
  if (entry.kind === 'chain-replaced') {
    const anchor = newChainAnchor(conveyor, recent, step?.toMs ?? atMs, tensionOf);
    return anchor && { ...anchor, atMs };
  }
  if (!needsAnchor(entry) || !('side' in entry)) return undefined;
  const index = conveyor.takeups.findIndex(({ id }) => id === entry.takeup);
  const windows = recent(index);
  const before = windows?.lastUntil(step?.fromMs ?? entry.timeMs)?.[entry.side];
  const after = windows?.firstFrom(step?.toMs ?? atMs)?.[entry.side];
  const sideMm =
    entry.kind === 'sensor-rezeroed' ? oldScale(entry.positionMm, before, capturedMm) : whenMeasured(entry, step, after, capturedMm);
  return sideMm === undefined ? undefined : { ...NONE, atMs, sideMm };
}

/** The old scale's reading: the one at hand, unless the sensor had already been set to what the entry says. */
function oldScale(newMm: number, beforeMm: number | undefined, capturedMm: number): number | undefined {
  if (beforeMm === undefined) return Number.isFinite(capturedMm) ? capturedMm : undefined;
  const alreadyNew = !(Math.abs(capturedMm - newMm) > Math.abs(beforeMm - newMm) / 2);
  return alreadyNew ? beforeMm : capturedMm;
}

function whenMeasured(entry: WorkEntry, step: Step | undefined, afterMm: number | undefined, capturedMm: number): number | undefined {
  const writtenBefore = step !== undefined && entry.timeMs < step.fromMs;
  if (!writtenBefore && Number.isFinite(capturedMm)) return capturedMm;
  return afterMm ?? (Number.isFinite(capturedMm) ? capturedMm : undefined);
}

/** The first settled value of every take-up with the new chain: what another read before it was of the old one. */
function newChainAnchor(
  conveyor: Conveyor,
  recent: RecentWindows,
  fromMs: number,
  tensionOf: (takeupIndex: number, window: WindowRecord) => number,
): Omit<Anchor, 'atMs'> | undefined {
  const firsts = conveyor.takeups.flatMap(({ gain }, index) => {
    const window = recent(index)?.firstFrom(fromMs, (one) => !Number.isNaN(one.zoneHeat) && !Number.isNaN(one.ambientHeat));
    return window ? [{ window, takenUpMm: gain * window.mean, tensionN: tensionOf(index, window) }] : [];
  });
  const [first] = firsts;
  if (first === undefined || firsts.length < conveyor.takeups.length) return undefined;
  return {
    sideMm: NaN,
    takenUpMm: firsts.reduce((sum, { takenUpMm }) => sum + takenUpMm, 0),
    zoneHeat: first.window.zoneHeat,
    ambientHeat: first.window.ambientHeat,
    tensionN: firsts.reduce((sum, { tensionN }) => sum + tensionN, 0) / firsts.length,
  };
}
