import type { SiteFilter } from '../../site/site.js';
import { DEFAULT_SETTINGS, type WaySettings } from './conveyor-way.js';

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
