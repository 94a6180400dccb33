import type { SignalNow } from '../../contract/messages.js';
import { formatTime } from '../../units/time.js';
import type { Sampler } from '../sample/sampler.js';
import type { ConveyorWay } from './conveyor-way.js';
import { figure } from './takeup-figures.js';

/** Every signal of a conveyor as it stands, raw and in engineering units, but for the counts of what was not used. */
export function signalsNow(way: ConveyorWay): readonly Omit<SignalNow, 'rejected'>[] {
  return way.samplers.map((sampler) => ({
    signal: sampler.signal.name,
    raw: Number.isFinite(sampler.raw) ? sampler.raw : null,
    value: figure(sampler.known ? Number(sampler.value.toFixed(4)) : NaN, sampler.whyUnknown ?? 'never-read'),
    state: stateOf(sampler),
    ...(Number.isNaN(sampler.lastMs) ? {} : { at: formatTime(Math.round(sampler.lastMs)) }),
  }));
}

function stateOf(sampler: Sampler): SignalNow['state'] {
  switch (sampler.whyUnknown) {
    case undefined:
      return 'good';
    case 'signal-lost':
      return 'lost';
    case 'signal-fault':
      return 'fault';
    default:
      return 'never-read';
  }
}
