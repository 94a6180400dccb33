import type { AlarmBookSaved } from '../alarm/alarm-book.js';
import type { HeatTrackSaved } from '../ledger/heat.js';
import type { TemperatureRollSaved } from '../ledger/temperature-roll.js';
import type { SamplerSaved } from '../sample/sampler.js';
import type { RunningTrackSaved } from '../takeup/running-track.js';
import type { TakeupTrackSaved } from '../takeup/takeup-track.js';
import type { ChainAccountSaved } from './chain-account.js';
import type { TakeupWaySaved } from './takeup-way.js';

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
