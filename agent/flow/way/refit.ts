import { conveyorSignals, type Conveyor } from '../../site/site.js';
import type { SavedNumber } from '../../units/saved.js';
import { loosened } from '../ledger/history.js';
import type { ConveyorWaySaved } from './saved.js';

/** What of a conveyor its saved state hangs on: its order of take-ups and signals. Set-points and names may change freely. */
export interface ConveyorShape {
  readonly takeups: readonly string[];
  readonly signals: readonly string[];
  /** g·x of each take-up at its reference, mm of chain: what is no longer counted when one goes. Not in states saved by early versions. */
  readonly takenUpMm?: readonly number[];
}

export function shapeOf(conveyor: Conveyor): ConveyorShape {
  return {
    takeups: conveyor.takeups.map(({ id }) => id),
    signals: conveyorSignals(conveyor).map(({ name }) => name),
    takenUpMm: conveyor.takeups.map(({ gain, reference }) => gain * reference.positionMm),
  };
}

/**
 * A conveyor's saved state for the conveyor as the site file has it now: every sensor and every take-up takes up what was saved under its
 * name, what is new begins anew, what is gone is dropped, and the account of the chain goes on.
 *
 * @param nowMs - the time up to which the state was saved
 * @returns undefined where the state does not say enough
 */
export function refit(saved: ConveyorWaySaved, was: ConveyorShape, conveyor: Conveyor, nowMs: number): ConveyorWaySaved | undefined {
  const now = shapeOf(conveyor);
  const added = now.takeups.map((id, index) => (was.takeups.includes(id) ? 0 : (now.takenUpMm?.[index] ?? NaN)));
  const gone = was.takeups.map((id, index) => (now.takeups.includes(id) ? 0 : (was.takenUpMm?.[index] ?? NaN)));
  const movedMm = sum(added) - sum(gone);
  if (Number.isNaN(movedMm)) return undefined;
  // A list that holds nothing for what is new is what the parts take for a beginning.
  const byTakeup = <T>(list: readonly T[]): readonly T[] => byName(list, was.takeups, now.takeups);
  const place = (index: number): number => now.takeups.indexOf(was.takeups[index] ?? '');
  const { account } = saved;
  return {
    ...saved,
    samplers: byName(saved.samplers, was.signals, now.signals),
    running: refitRunning(saved.running, runs(was.signals), runs(now.signals), nowMs),
    heat: { zones: byName(saved.heat.zones, was.signals.filter(isTemperature), now.signals.filter(isTemperature)) },
    temperatures: byName(saved.temperatures ?? [], was.signals.filter(isTemperature), now.signals.filter(isTemperature)),
    tracks: byTakeup(saved.tracks),
    takeups: byTakeup(saved.takeups),
    account: {
      ...account,
      histories: byTakeup(account.histories).map(
        (history) => (history as typeof history | undefined) && loosened(history, movedMm),
      ) as typeof account.histories,
      watches: byTakeup(account.watches),
      given: byTakeup(account.given),
      ...(account.changed === undefined ? {} : { changed: byTakeup(account.changed) }),
      daily: {
        breathing: byTakeup(account.daily.breathing),
        doubt: byTakeup(account.daily.doubt),
        told: byTakeup(account.daily.told),
        ...(account.daily.trends === undefined ? {} : { trends: byTakeup(account.daily.trends) }),
      },
      steps: { ...account.steps, jumps: byTakeup(account.steps.jumps) },
      ledger: {
        ...account.ledger,
        steps: account.ledger.steps.map((step) => ({ ...step, takeup: place(step.takeup) })).filter(({ takeup }) => takeup >= 0),
      },
    },
  };
}

/** What stood under each name, in the order in which the names stand now. */
function byName<T>(list: readonly T[], was: readonly string[], now: readonly string[]): readonly T[] {
  return now.map((name) => list[was.indexOf(name)] as T);
}

function isTemperature(signal: string): boolean {
  return signal.endsWith('/temperature');
}

function runs(signals: readonly string[]): boolean {
  return signals.some((signal) => /^[^/]+\/running$/.test(signal));
}

/** A running signal that is new is not known yet; without one a conveyor counts as always running. What it ran until now stays. */
function refitRunning(saved: ConveyorWaySaved['running'], before: boolean, after: boolean, nowMs: number): ConveyorWaySaved['running'] {
  const last = saved.turns.at(-1);
  if (before === after || last === undefined) return saved;
  const ranMs = last.ranMs + (last.state === 1 ? nowMs - last.atMs : 0);
  const state: SavedNumber = after ? null : 1;
  return { turns: [...saved.turns, { atMs: nowMs, state, ranMs }] };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
