import { DEFAULT_UNIT } from './check-signals.js';
import { DEFAULTS } from './defaults.js';
import type { SignalFile } from './schema.js';
import { defaultTopic } from './signal-places.js';
import type { Signal, SignalQuantity } from './site.js';

/** A signal with every default filled in. */
export function resolveSignal(siteId: string, name: string, quantity: SignalQuantity, file: SignalFile): Signal {
  const periodS = file.period_s ?? DEFAULTS.periodS.value;
  return {
    name,
    quantity,
    topic: file.topic ?? defaultTopic(siteId, name),
    ...(file.pointer !== undefined && { pointer: file.pointer }),
    ...(file.time_pointer !== undefined && { timePointer: file.time_pointer }),
    unit: file.unit ?? DEFAULT_UNIT[quantity],
    ...(file.scale && { scale: file.scale }),
    ...(file.valid && { valid: file.valid }),
    periodS,
    ...(file.resolution_mm !== undefined && { resolutionMm: file.resolution_mm }),
    lostAfterMs: 1000 * Math.max(DEFAULTS.lostAfterLeastS.value, DEFAULTS.lostAfterPeriods.value * periodS),
  };
}
