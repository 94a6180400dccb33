import type { SavedNumber } from '../../units/saved.js';
import type { AlarmBookSaved } from '../alarm/alarm-book.js';
import type { HistorySaved } from '../ledger/history.js';
import type { HeatTrackSaved } from '../ledger/heat.js';
import type { LedgerSaved } from '../ledger/ledger.js';
import type { TemperatureRollSaved } from '../ledger/temperature-roll.js';
import type { SamplerSaved } from '../sample/sampler.js';
import type { RunningTrackSaved } from '../takeup/running-track.js';
import type { TakeupTrackSaved } from '../takeup/takeup-track.js';
import type { DailyJudgeSaved } from './daily-judge.js';
import type { StepDeskSaved } from './step-desk.js';
import type { TakeupWaySaved } from './takeup-way.js';
import type { WindowWatchesSaved } from './window-watches.js';

/** Everything a conveyor's way remembers, as JSON. */
export interface ConveyorWaySaved {
  readonly samplers: readonly SamplerSaved[];
  readonly running: RunningTrackSaved;
  readonly heat: HeatTrackSaved;
  /** Of each zone, then of the ambient. Not in states saved by early versions. */
  readonly temperatures?: readonly TemperatureRollSaved[];
  readonly tracks: readonly TakeupTrackSaved[];
  readonly takeups: readonly TakeupWaySaved[];
  readonly alarms: AlarmBookSaved;
  readonly account: ChainAccountSaved;
}

/** What is remembered of the chain's side. */
export interface ChainAccountSaved {
  readonly histories: readonly HistorySaved[];
  readonly ledger: LedgerSaved;
  readonly watches: readonly WindowWatchesSaved[];
  readonly daily: DailyJudgeSaved;
  readonly dayEndMs: SavedNumber;
  readonly unrecordedDueMs: SavedNumber;
  /** See `DayBookSaved`. */
  readonly given: readonly Readonly<Record<string, number>>[];
  readonly changed?: readonly (readonly string[] | undefined)[];
  /** Of what conveyor the days were given out. Not in states saved by early versions. */
  readonly mark?: number;
  readonly steps: StepDeskSaved;
}
