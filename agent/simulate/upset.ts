import type { SignalTrouble } from './trouble.js';

/** All that is wrong with one signal over a segment. */
export interface Upset {
  readonly lost: boolean;
  /** The raw value that it repeats whatever happens. */
  readonly repeats: number | undefined;
  readonly noNumberShare: number;
  readonly noiseTimes: number;
  readonly spikeShare: number;
  readonly spikeHeight: number;
  readonly driftPerDay: number;
  readonly driftFromMs: number;
  readonly clockMs: number;
}

export const NO_UPSET: Upset = Object.freeze({
  lost: false,
  repeats: undefined,
  noNumberShare: 0,
  noiseTimes: 1,
  spikeShare: 0,
  spikeHeight: 0,
  driftPerDay: 0,
  driftFromMs: 0,
  clockMs: 0,
});

/**
 * What the troubles of a conveyor's signals make of one of them at a time.
 *
 * @param frozen - raw values that flat sensors repeat
 */
export function upsetOf(
  troubles: readonly SignalTrouble[],
  signal: string,
  timeMs: number,
  frozen: Readonly<Record<string, number>>,
): Upset {
  let upset = NO_UPSET;
  for (const trouble of troubles) {
    if (timeMs < trouble.fromMs || timeMs >= trouble.toMs) continue;
    if (trouble.kind !== 'gap' && trouble.signal !== signal) continue;
    upset = { ...upset, ...changeOf(trouble, frozen) };
  }
  return upset;
}

function changeOf(trouble: SignalTrouble, frozen: Readonly<Record<string, number>>): Partial<Upset> {
  switch (trouble.kind) {
    case 'gap':
    case 'signal-lost':
      return { lost: true };
    case 'sensor-flat':
      return { repeats: frozen[trouble.signal] };
    case 'fault-band':
      return { repeats: trouble.raw };
    case 'sensor-drift':
      return { driftPerDay: trouble.perDay, driftFromMs: trouble.fromMs };
    case 'sensor-spikes':
      return { spikeShare: trouble.share, spikeHeight: trouble.height };
    case 'sensor-noisy':
      return { noiseTimes: trouble.times };
    case 'not-a-number':
      return { noNumberShare: trouble.share };
    case 'clock-off':
      return { clockMs: Math.round(1000 * trouble.byS) };
  }
}
