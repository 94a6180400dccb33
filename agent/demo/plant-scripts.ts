import { conveyorWith, defaultScenario } from '../simulate/default-scenario.js';
import type { ForcedStretch } from '../simulate/forced-stretch.js';
import type { ConveyorScenario, PlantScenario } from '../simulate/scenario.js';
import type { PlantTruth } from '../simulate/truth.js';
import type { ZoneOverheats } from '../simulate/trouble.js';
import type { Conveyor, Site } from '../site/site.js';
import { PLANT_HEALTH } from './plant-health.js';
import { roundsOf, troublesOf, worksOf } from './plant-history.js';

/** The demo's past: fourteen months, read once in five minutes: enough for settled windows, and made in seconds. */
export const DEMO_HISTORY_DAYS = 425;
export const DEMO_HISTORY_PERIOD_S = 300;
export const DEMO_SEED = 1;

const HOUR_MS = 3600_000;
const DAY_MS = 24 * HOUR_MS;

/** The plant is at work when someone looks: it has been for so long, and stays so. */
const AT_WORK_BEFORE_MS = 3 * HOUR_MS;
const AT_WORK_AFTER_MS = 12 * HOUR_MS;

/** The line whose oven overheats when the demo goes live. */
const HOT_LINE = { conveyor: 'drying', takeup: 'tu1', zone: 'oven' } as const;
/** The carriage passes the set-point of `stroke-end` so long after; the alarm follows its on-delay of 10 s later. */
const PASSES_AFTER_S = 58;
/** The oven gets warmer for so long, and stays too warm until someone would have seen to it. */
const GETS_WARMER_S = 74;
const SEEN_TO_AFTER_MS = 45 * 60_000;
/** Faster than this the carriage would seem to jump: 8 mm against the minute before. */
const FASTEST_MM_PER_S = 0.22;

/** When the demo's history begins. @param seededMs - when it ends */
export function demoHistoryStartMs(seededMs: number): number {
  return seededMs - DEMO_HISTORY_DAYS * DAY_MS;
}

/**
 * The plant of Alder Point over its history, and on from there.
 *
 * @param site - of the demo
 * @param seededMs - when the history ends: the present as the demo is first started. A plant that is taken up again needs the same one
 */
export function demoScenario(site: Site, seededMs: number): PlantScenario {
  const atWork = { fromMs: seededMs - AT_WORK_BEFORE_MS, toMs: seededMs + AT_WORK_AFTER_MS, running: true };
  const base = defaultScenario(site);
  return {
    ...base,
    conveyors: Object.fromEntries(
      Object.entries(base.conveyors).map(([id, usual]) => {
        const well = conveyorWith(usual, PLANT_HEALTH[id] ?? {});
        const works = [...worksOf(id, seededMs), ...roundsOf(site, id, seededMs, DEMO_HISTORY_DAYS)];
        return [id, conveyorWith(atWorkOver(well, atWork), { works, troubles: troublesOf(id, seededMs) })];
      }),
    ),
  };
}

/**
 * The same, with what a person sees in the first minutes: everything runs, and the drying oven overheats until its carriage passes the
 * set-point of `stroke-end`, so that the alarm rises 60 to 75 s after `liveMs`.
 *
 * @param liveMs - when readings begin to be published as they are taken; not before the time of `truth`
 * @param truth - of the plant as it is then: from where the carriage stands follows how hot the oven must get
 */
export function demoLiveScenario(site: Site, seededMs: number, liveMs: number, truth: PlantTruth): PlantScenario {
  const scenario = demoScenario(site, seededMs);
  const atWork = { fromMs: liveMs, toMs: liveMs + AT_WORK_AFTER_MS, running: true };
  const overheats = overheating(site, liveMs, truth);
  return {
    ...scenario,
    conveyors: Object.fromEntries(
      Object.entries(scenario.conveyors).map(([id, conveyor]) => {
        const troubles = id === HOT_LINE.conveyor && overheats ? [...conveyor.troubles, overheats] : conveyor.troubles;
        return [id, conveyorWith(atWorkOver(conveyor, atWork), { troubles })];
      }),
    ),
  };
}

function atWorkOver(conveyor: ConveyorScenario, stretch: ForcedStretch): ConveyorScenario {
  return conveyorWith(conveyor, { shifts: { forced: [...conveyor.shifts.forced, stretch] } });
}

/**
 * How fast the oven must warm for the carriage to be at the set-point in time: α·length·ΔT/g of carriage, as the line has no stiffness
 * given and its sensor looks at the chain itself (mechanics §2).
 *
 * @returns undefined where the carriage is there already, or too far off to come so soon
 */
function overheating(site: Site, liveMs: number, truth: PlantTruth): ZoneOverheats | undefined {
  const conveyor = site.conveyors.find(({ id }) => id === HOT_LINE.conveyor);
  const takeup = conveyor?.takeups.find(({ id }) => id === HOT_LINE.takeup);
  const now = truth.now.find((one) => one.conveyor === HOT_LINE.conveyor && one.takeup === HOT_LINE.takeup);
  if (conveyor === undefined || takeup === undefined || now === undefined) return undefined;
  const remainingMm = takeup.limits['stroke-end']?.['remaining_mm'] ?? 0.05 * takeup.strokeMm;
  const furtherSideMm = now.positionMm + Math.abs(now.skewMm) / 2;
  const mmPerS = (takeup.strokeMm - remainingMm - furtherSideMm) / PASSES_AFTER_S;
  if (mmPerS <= 0 || mmPerS > FASTEST_MM_PER_S) return undefined;
  const cPerS = (mmPerS * takeup.gain) / growthMmPerC(conveyor, HOT_LINE.zone);
  return {
    kind: 'zone-overheats',
    zone: HOT_LINE.zone,
    fromMs: liveMs,
    toMs: liveMs + SEEN_TO_AFTER_MS,
    cPerMin: 60 * cPerS,
    mostC: GETS_WARMER_S * cPerS,
  };
}

/** mm of chain that a zone adds for each °C. */
function growthMmPerC({ chain, zones }: Conveyor, zone: string): number {
  const lengthMm = zones.find(({ id }) => id === zone)?.lengthMm ?? NaN;
  return (chain.expansionPerC - chain.trackExpansionPerC) * lengthMm;
}
