import type { SiteFilter } from '../../site/site.js';
import { DEFAULT_FILTER, type FilterSettings } from '../position/position-filter.js';
import { DEFAULT_SETTLE, type SettleSettings } from '../position/settle-window.js';

/** Settings of the way that a bench may change. */
export interface WaySettings {
  readonly filter: FilterSettings;
  readonly settle: SettleSettings;
  /** How long the stretches are that readings are drawn together to; default a minute. */
  readonly rollMs?: number;
}

export const DEFAULT_SETTINGS: WaySettings = Object.freeze({ filter: DEFAULT_FILTER, settle: DEFAULT_SETTLE });

/** The settings of the way that a site file asks for: what is usual, with what it says otherwise. */
export function siteSettings({ spikeK, smoothingS, windowMin, fewestReadings, jumpMm }: SiteFilter): WaySettings {
  const { filter, settle } = DEFAULT_SETTINGS;
  return {
    filter: { spikeK: spikeK ?? filter.spikeK, smoothingS: smoothingS ?? filter.smoothingS },
    settle: {
      windowMs: windowMin === undefined ? settle.windowMs : 60_000 * windowMin,
      fewestReadings: fewestReadings ?? settle.fewestReadings,
      jumpMm: jumpMm ?? settle.jumpMm,
    },
  };
}
