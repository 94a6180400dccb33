import { conveyorSignals, type Conveyor } from '../../site/site.js';
import type { AlarmBook } from '../alarm/alarm-book.js';
import type { TellAlarm } from '../alarm/alarm-name.js';
import type { AlarmKey } from '../alarm-key.js';
import type { Output } from '../output.js';
import { READINGS_TO_JUDGE, type Sampler } from '../sample/sampler.js';
import type { Role } from './roles.js';

/** The alarms of the signals themselves. Those of a take-up's sensors stand at the take-up and name the side. */
export class SignalAlarms {
  constructor(
    private readonly conveyor: Conveyor,
    private readonly roles: readonly Role[],
    private readonly alarms: AlarmBook,
  ) {}

  tellLost(index: number, sampler: Sampler, timeMs: number, out: Output[]): void {
    const limitS = sampler.signal.lostAfterMs / 1000;
    this.alarms.tell({ ...this.of('signal-lost', index), up: sampler.lost, timeMs, value: sampler.lost ? limitS : 0, limit: limitS }, out);
  }

  tellFault(index: number, sampler: Sampler, timeMs: number, raw: number, out: Output[]): void {
    const value = sampler.fault ? raw : sampler.value;
    this.alarms.tell({ ...this.of('signal-fault', index), up: sampler.fault, timeMs, value, limit: READINGS_TO_JUDGE }, out);
  }

  of(key: AlarmKey, index: number): Pick<TellAlarm, 'key' | 'takeup' | 'signal' | 'side'> {
    const role = this.roles[index] as Role;
    const signal = conveyorSignals(this.conveyor)[index];
    if (signal === undefined) throw new Error(`no signal ${String(index)} on ${this.conveyor.id}`);
    if (role.kind !== 'position' && role.kind !== 'spring') return { key, takeup: undefined, signal };
    return { key, takeup: this.conveyor.takeups[role.takeup]?.id, signal, side: role.side === 0 ? 'left' : 'right' };
  }
}
