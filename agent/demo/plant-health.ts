import type { ConveyorOverrides } from '../simulate/default-scenario.js';
import type { ShiftScenario } from '../simulate/scenario.js';

/** Round the clock from Monday 06:00 to Saturday 06:00. */
const THREE_SHIFTS: ShiftScenario['week'] = [[[360, 1440]], [[0, 1440]], [[0, 1440]], [[0, 1440]], [[0, 1440]], [[0, 360]], []];
/** A chain that has long run in. */
const RUN_IN = { runInTimes: 1, runInHours: 200, hoursAtStart: 9000 };
const HEAT = { heatUpS: 1500, coolDownS: 7200, startBeforeS: 5400 };

/** How each conveyor of Alder Point behaves when nothing is done to it. Wear is set so that the history ends where each should be. */
export const PLANT_HEALTH: Readonly<Record<string, ConveyorOverrides>> = Object.freeze({
  enamel: {
    speedMPerMin: 3.6,
    wear: { ...RUN_IN, pctPer1000Hours: 0.0262 },
    shifts: { week: THREE_SHIFTS },
    heat: { dryer: { ...HEAT, workC: 95, spreadC: 1 }, furnace: { ...HEAT, workC: 190, heatUpS: 2400, spreadC: 1.5 } },
    takeups: { tu1: { skewMm: 0.8 } },
  },
  drying: {
    speedMPerMin: 5,
    wear: { ...RUN_IN, pctPer1000Hours: 0.0252 },
    shifts: { week: THREE_SHIFTS },
    heat: { oven: { ...HEAT, workC: 150, spreadC: 0.5 } },
    breathing: {
      waves: [
        { mm: 0.25, per: { roundOfLoop: 1 } },
        { mm: 0.3, per: { roundOfLoop: 37.4 } },
        { mm: 0.2, per: { chainMm: 5840 } },
        { mm: 0.05, per: { chainMm: 80 } },
      ],
    },
    load: { chainMm: 5 },
    takeups: { tu1: { skewMm: -0.4 } },
  },
  pickling: {
    speedMPerMin: 3,
    wear: { ...RUN_IN, pctPer1000Hours: 0.0756 },
    heat: { bath: { ...HEAT, workC: 65, spreadC: 1 } },
    climate: { meanC: 21 },
    takeups: { tu1: { skewMm: 1.4 } },
  },
  decal: {
    speedMPerMin: 2.4,
    wear: { ...RUN_IN, pctPer1000Hours: 0.0251 },
    heat: { tunnel: { ...HEAT, workC: 70, spreadC: 0.5 } },
    sensors: { positionMm: 0.05, springMm: 0.06 },
    takeups: { tu1: { skewMm: 0.3 } },
  },
  packing: {
    speedMPerMin: 8,
    wear: { pctPer1000Hours: 0.0325, runInTimes: 8, runInHours: 250, hoursAtStart: 12_000 },
    takeups: { tu1: { skewMm: -0.7 } },
  },
  overhead: {
    speedMPerMin: 12,
    wear: { ...RUN_IN, pctPer1000Hours: 0.0108 },
    shifts: { week: THREE_SHIFTS },
    takeups: { 'drive-end': { skewMm: 0.5 }, 'far-end': { skewMm: 0.9 } },
  },
});
