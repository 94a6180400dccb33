import type { Conveyor, SideName } from '../../site/site.js';
import type { WorkEntry } from '../../contract/service-entry.js';
import { formatTime } from '../../units/time.js';
import type { WindowRecord } from '../ledger/window-record.js';
import type { FindingOutput } from '../output.js';
import { StepWatch, type StepWatchSaved } from './step-watch.js';

/**
 * Spring length less position of a side does not change by wear, heat, load or pitches: only a nut, another spring or a sensor changes
 * it. A third of a turn of the usual lead is a turn that somebody meant.
 */
const LEAST_MM = 1;
/** An entry within a day either side explains it, as with every step. */
const EXPLAINS_WITHIN_MS = 24 * 3600_000;

export interface NutWatchSaved {
  readonly step: StepWatchSaved;
  /** Of the last windows: end, spring, position. */
  readonly last: readonly (readonly [number, number, number])[];
}

/** A step of a spring against its side of the carriage. */
export interface NutStep {
  readonly fromMs: number;
  readonly toMs: number;
  /** Change of the spring's length against the carriage; below 0: tightened. */
  readonly moveMm: number;
  readonly springMm: number;
  /** The position moved by more than the spring: its sensor is the one that changed. */
  readonly byPosition: boolean;
}

/** Steps so long ago are no longer compared. */
const KEPT = 12;

/** Whether a nut was turned, on a side whose spring has a sensor of its own. */
export class NutWatch {
  private readonly step: StepWatch;
  private last: (readonly [number, number, number])[];

  constructor(saved?: NutWatchSaved) {
    this.step = new StepWatch(LEAST_MM, saved?.step);
    this.last = [...(saved?.last ?? [])];
  }

  /** Takes a settled window. @param stoodMs - how long the conveyor stood before it */
  push(fromMs: number, toMs: number, springMm: number, positionMm: number, stoodMs: number): NutStep | undefined {
    if (Number.isNaN(springMm) || Number.isNaN(positionMm)) return undefined;
    this.last = [...this.last, [toMs, springMm, positionMm] as const].slice(-KEPT);
    const step = this.step.push({ fromMs, toMs, restMm: springMm - positionMm, stoodMs }, () => false);
    if (step === undefined) return undefined;
    const before = this.last.findLast(([atMs]) => atMs <= step.fromMs);
    const springMoved = before ? Math.abs(springMm - before[1]) : Infinity;
    const positionMoved = before ? Math.abs(positionMm - before[2]) : 0;
    return { fromMs: step.fromMs, toMs: step.toMs, moveMm: step.moveMm, springMm, byPosition: positionMoved > springMoved };
  }

  save(): NutWatchSaved {
    return { step: this.step.save(), last: this.last };
  }
}

/** What a step of a spring against its carriage says. @param entries - of the account */
export function nutFinding(
  conveyor: Conveyor,
  index: number,
  side: SideName,
  step: NutStep,
  record: WindowRecord,
  entries: readonly WorkEntry[],
): FindingOutput {
  const takeup = conveyor.takeups[index];
  const id = takeup?.id ?? '';
  const explained = entries.filter(
    (entry) =>
      (entry.kind === 'nut-turned' || entry.kind === 'spring-replaced' || entry.kind === 'sensor-rezeroed') &&
      entry.takeup === id &&
      entry.side === side &&
      Math.max(step.fromMs - entry.timeMs, entry.timeMs - step.toMs) <= EXPLAINS_WITHIN_MS,
  );
  const known = explained.length > 0 ? 'It is accounted for.' : 'No service entry within a day of it says why.';
  const by = `${Math.abs(step.moveMm).toFixed(1)} mm`;
  const seen = `The ${side} spring became ${by} ${step.moveMm < 0 ? 'shorter' : 'longer'} against its side of the carriage.`;
  const turns = takeup?.nutLeadMm === undefined ? '' : ` (${Math.abs(step.moveMm / takeup.nutLeadMm).toFixed(1)} turns)`;
  const says = step.byPosition
    ? 'It is the position that moved, not the spring: the position sensor was shifted or set anew.'
    : `Its nut was ${step.moveMm < 0 ? 'tightened' : 'slackened'}${turns}, or the spring gave way.`;
  const suggests = explained.length === 0 && !step.byPosition;
  return {
    kind: 'finding',
    id: `${conveyor.id}-${id}-${side}-nut-${String(Math.round(step.toMs))}`,
    timeMs: record.toMs,
    fromMs: step.fromMs,
    toMs: step.toMs,
    conveyor: conveyor.id,
    takeup: id,
    finding: step.byPosition ? 'sensor-doubtful' : 'nut-turned',
    moveMm: null,
    ...(suggests
      ? {
          suggestion: {
            time: formatTime(step.toMs),
            conveyor: conveyor.id,
            takeup: id,
            kind: 'nut-turned',
            side,
            spring_mm: Math.round(step.springMm * 10) / 10,
          },
        }
      : {}),
    text: `${seen} ${says} ${known}`,
  };
}
