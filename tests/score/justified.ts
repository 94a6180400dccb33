import type { AlarmKey } from '../../agent/flow/alarm-key.js';
import type { FindingKey } from '../../agent/flow/output.js';
import type { TruthDay, TruthFault, TruthStep } from '../../agent/simulate/truth.js';
import { DAY_MS } from './line-site.js';
import type { PlantRun } from './run-plant.js';

type Key = AlarmKey | FindingKey;

const MOVES: readonly Key[] = ['step-unexplained', 'change-unrecorded', 'carriage-jump', 'chain-caught', 'chain-slack'];
const DOUBTED: readonly Key[] = ['sensor-doubtful', 'signal-doubtful'];

/** What a trouble gives reason for while it lasts. */
const BY_TROUBLE: Readonly<Record<TruthFault['kind'], readonly Key[]>> = {
  'chain-caught': MOVES,
  'chain-parted': [...MOVES, 'stroke-low', 'stroke-end', 'spring-slack', 'tension-low'],
  'chain-slack': MOVES,
  'guide-seized': [...MOVES, 'carriage-stuck'],
  'guide-dragging': ['skew-growing', 'carriage-skew'],
  'spring-relaxing': [],
  'spring-broken': MOVES,
  // While the pace changes, the early date of a forecast is far from the date.
  'wear-fast': ['wear-fast', 'stroke-date', 'slack-date'],
  'zone-overheats': [],
  'sensor-flat': [...DOUBTED, ...MOVES, 'skew-growing', 'carriage-skew'],
  'sensor-drift': [...DOUBTED, 'skew-growing', 'carriage-skew', 'step-unexplained', 'change-unrecorded'],
  'sensor-spikes': DOUBTED,
  'sensor-noisy': DOUBTED,
  'not-a-number': ['signal-fault', 'signal-lost'],
  'fault-band': ['signal-fault', 'signal-lost'],
  'signal-lost': ['signal-lost'],
  'clock-off': ['signal-lost'],
  gap: ['signal-lost'],
};

/** A mended trouble is a move back; and an alarm that counts days of running may come after it. */
const AFTER_MS = 2 * DAY_MS;

/** A change made when the weekend begins is told on Monday. */
const WEEKEND_MS = 3 * DAY_MS;

/** Work gives reason for a finding that says what was done, whether it is recorded or not; unrecorded, for the alarm as well. */
function byWork({ kind, recorded }: TruthStep): readonly Key[] {
  const unrecorded: readonly Key[] = recorded === 'rightly' ? [] : ['change-unrecorded'];
  switch (kind) {
    case 'chain-removed':
      return ['chain-removed', ...unrecorded];
    case 'chain-inserted':
      return ['chain-inserted', ...unrecorded];
    case 'chain-replaced':
      return ['chain-removed', 'chain-inserted', 'step-unexplained', ...unrecorded];
    case 'nut-turned':
    case 'spring-replaced':
      return ['nut-turned', 'step-unexplained', ...unrecorded];
    case 'sensor-rezeroed':
      return ['step-unexplained', 'sensor-doubtful', ...unrecorded];
    default:
      return [];
  }
}

/** Whether something true gives reason for an alarm or finding over a stretch of time. */
export function justifiedBy(run: PlantRun, key: Key, fromMs: number, toMs: number): boolean {
  const { truth } = run;
  const alarmBackMs = key === 'change-unrecorded' ? WEEKEND_MS : DAY_MS;
  const work = truth.steps.some(
    (step) => step.timeMs >= fromMs - alarmBackMs && step.timeMs <= toMs + DAY_MS && byWork(step).includes(key),
  );
  const trouble = truth.faults.some(
    (fault) => toMs >= fault.fromMs && fromMs <= fault.toMs + AFTER_MS && BY_TROUBLE[fault.kind].includes(key),
  );
  return work || trouble || byLevel(run, key, toMs);
}

/** A forecast's early date is nearer than the date: an alarm on it is right where the true date is within so many times its days. */
const EARLY = 1.5;

/** Whether the true figures of the days about a time are beyond an alarm's set-point, the carriage's to-and-fro given. */
function byLevel(run: PlantRun, key: Key, timeMs: number): boolean {
  const conveyor = run.plant.site.conveyors[0];
  const takeup = conveyor?.takeups[0];
  if (conveyor === undefined || takeup === undefined) return false;
  const near = run.truth.days.filter(({ date }) => Math.abs(Date.parse(`${date}T12:00:00Z`) - timeMs) <= 1.5 * DAY_MS);
  const { spring, strokeMm } = takeup;
  const { wearLimitPct, minTensionN = -Infinity, maxTensionN = Infinity } = conveyor.chain;
  const slackMm = 0.1 * (spring.freeMm - spring.solidMm);
  const swingMm = 4;
  const some = (holds: (day: TruthDay) => boolean): boolean => near.some(holds);
  switch (key) {
    case 'stroke-low':
      return some(({ positionMm }) => strokeMm - positionMm <= 0.2 * strokeMm + swingMm);
    case 'stroke-end':
      return some(({ positionMm, skewMm }) => strokeMm - positionMm - Math.abs(skewMm) / 2 <= 0.05 * strokeMm + swingMm);
    case 'carriage-skew':
      return some(({ skewMm }) => Math.abs(skewMm) >= 14);
    case 'spring-slack':
      return some(({ springLeftMm, springRightMm }) => spring.freeMm - Math.max(springLeftMm, springRightMm) <= slackMm + swingMm);
    case 'tension-low':
      return some(({ strandTensionN }) => strandTensionN <= 1.05 * minTensionN);
    case 'tension-high':
      return some(({ strandTensionN }) => strandTensionN >= 0.95 * maxTensionN);
    case 'wear-limit-near':
      return some(({ elongationPct }) => elongationPct >= (takeup.limits[key]?.['elongation_pct'] ?? 0.8 * wearLimitPct) - 0.01);
    case 'wear-limit':
      return some(({ elongationPct }) => elongationPct >= (takeup.limits[key]?.['elongation_pct'] ?? wearLimitPct) - 0.01);
    case 'stroke-date':
      return comes(run, timeMs, EARLY * 30, ({ positionMm }) => positionMm >= strokeMm - 8);
    case 'slack-date':
      return comes(
        run,
        timeMs,
        EARLY * 14,
        ({ springLeftMm, springRightMm, strandTensionN }) =>
          spring.freeMm - Math.max(springLeftMm, springRightMm) <= slackMm || strandTensionN <= minTensionN,
      );
    case 'signal-lost':
      return run.silences.any(timeMs);
    default:
      return false;
  }
}

/** Whether the plant, going on as on the days about a time, is there within so many days: by its true travel. */
function comes(run: PlantRun, timeMs: number, days: number, there: (day: TruthDay) => boolean): boolean {
  const now = run.truth.days.findLast(({ date }) => Date.parse(`${date}T12:00:00Z`) <= timeMs);
  const pace = run.seen.at(-1)?.now.travelMmPerDay ?? 0;
  if (now === undefined) return false;
  const movedMm = days * pace + 4;
  const stiff = run.plant.site.conveyors[0]?.takeups[0]?.spring;
  const lossN = stiff === undefined ? 0 : movedMm * stiff.rateNPerMm * stiff.perSide;
  return there({
    ...now,
    positionMm: now.positionMm + movedMm,
    springLeftMm: now.springLeftMm + movedMm,
    springRightMm: now.springRightMm + movedMm,
    strandTensionN: now.strandTensionN - lossN,
  });
}
