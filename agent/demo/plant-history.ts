import type { PlantTrouble } from '../simulate/trouble.js';
import { NEVER, RIGHTLY, workOn, type PlantWork, type WorkRecord } from '../simulate/work.js';
import type { Site } from '../site/site.js';

const HOUR_MS = 3600_000;
const DAY_MS = 24 * HOUR_MS;
/** 1970-01-01 was a Thursday: days since then, by sevens, that are Saturdays. */
const SATURDAY = 2;
const INSPECTED_EVERY_DAYS = 28;

/** Saturday morning, at least so many days before the history ends: the halls stand still then. */
function saturdayMs(seededMs: number, daysBefore: number): number {
  const day = Math.floor(seededMs / DAY_MS) - daysBefore;
  return (day - ((((day - SATURDAY) % 7) + 7) % 7)) * DAY_MS + 7 * HOUR_MS;
}

/** Chain taken out on a Saturday, with the take-up under service meanwhile. */
function shortened(conveyor: string, timeMs: number, pitches: number, record: WorkRecord = RIGHTLY): PlantWork[] {
  const open = record.how === 'never' ? NEVER : RIGHTLY;
  return [
    workOn(conveyor, timeMs - 40 * 60_000, { kind: 'service-opened' }, open),
    workOn(conveyor, timeMs, { kind: 'chain-removed', pitches }, record),
    workOn(conveyor, timeMs + 25 * 60_000, { kind: 'service-closed' }, open),
  ];
}

/** The same turns on both sides, one after the other. */
function nutsTurned(conveyor: string, takeup: string, timeMs: number, turns: number): PlantWork[] {
  return [
    workOn(conveyor, timeMs, { kind: 'nut-turned', takeup, side: 'left', turns }),
    workOn(conveyor, timeMs + 4 * 60_000, { kind: 'nut-turned', takeup, side: 'right', turns }),
  ];
}

/** What was done to each conveyor of Alder Point, most of it recorded. */
export function worksOf(conveyor: string, seededMs: number): PlantWork[] {
  return jobsOn(conveyor, seededMs).map(({ entry, record }) => ({ entry: { by: 'line maintenance', ...entry }, record }));
}

function jobsOn(conveyor: string, seededMs: number): PlantWork[] {
  const saturday = (daysBefore: number): number => saturdayMs(seededMs, daysBefore);
  switch (conveyor) {
    case 'enamel':
      return [
        ...shortened(conveyor, saturday(285), 2),
        ...nutsTurned(conveyor, 'tu1', saturday(200), 1),
        ...shortened(conveyor, saturday(145), 2),
        // Nobody wrote this one down.
        ...shortened(conveyor, saturday(6), 2, NEVER),
      ];
    case 'drying':
      return [...shortened(conveyor, saturday(250), 2), ...nutsTurned(conveyor, 'tu1', saturday(116), 4)];
    case 'pickling':
      return [
        ...shortened(conveyor, saturday(263), 2),
        ...shortened(conveyor, saturday(91), 2, { how: 'late', byMs: 7 * HOUR_MS }),
        workOn(conveyor, saturday(60), { kind: 'note', text: 'Rinse tank 2 leaked on the return strand for a week; repaired.' }),
      ];
    case 'decal':
      return [workOn(conveyor, saturday(180), { kind: 'sensor-rezeroed', takeup: 'tu1', side: 'right', positionMm: 103 })];
    case 'packing':
      return [
        workOn(conveyor, saturday(150) + 2 * HOUR_MS, { kind: 'chain-replaced', pitches: 918 }),
        ...shortened(conveyor, saturday(12), 2, { how: 'wrongly', pitches: 4, correctedAfterMs: 26 * HOUR_MS }),
      ];
    case 'overhead':
      return [
        ...shortened(conveyor, saturday(200), 4),
        // One nut of two, and no entry.
        workOn(conveyor, saturday(20), { kind: 'nut-turned', takeup: 'drive-end', side: 'left', turns: 2 }, NEVER),
      ];
    default:
      return [];
  }
}

/** Round every four weeks: a look, and grease. */
export function roundsOf({ conveyors }: Site, conveyor: string, seededMs: number, historyDays: number): PlantWork[] {
  const works: PlantWork[] = [];
  const place = conveyors.findIndex(({ id }) => id === conveyor);
  for (let days = INSPECTED_EVERY_DAYS + place; days < historyDays - 7; days += INSPECTED_EVERY_DAYS) {
    const timeMs = saturdayMs(seededMs, days) + place * HOUR_MS + HOUR_MS / 2;
    const worn = conveyor === 'pickling' && days < 120;
    works.push(
      workOn(conveyor, timeMs, {
        kind: 'inspected',
        by: 'shift mechanic',
        rock: worn ? 'excessive' : 'ok',
        restraintNuts: 'out',
        ...(worn ? { filings: 'some, at the turn' } : {}),
      }),
      workOn(conveyor, timeMs + 20 * 60_000, { kind: 'lubricated', by: 'shift mechanic' }),
    );
  }
  return works;
}

/** What went wrong in the meantime. */
export function troublesOf(conveyor: string, seededMs: number): PlantTrouble[] {
  const days = (before: number): number => seededMs - before * DAY_MS;
  switch (conveyor) {
    case 'overhead':
      return [
        {
          kind: 'guide-dragging',
          takeup: 'far-end',
          side: 'right',
          fromMs: days(170),
          toMs: days(-3650),
          mmPerDay: 0.2,
          mostMm: 17.8,
        },
      ];
    case 'packing':
      return [{ kind: 'signal-lost', signal: 'packing/tu1/right/position', fromMs: days(23.1), toMs: days(23.1) + 50 * 60_000 }];
    case 'decal':
      return [{ kind: 'sensor-spikes', signal: 'decal/tu1/left/position', fromMs: days(41), toMs: days(38), share: 0.02, height: 60 }];
    default:
      return [];
  }
}
