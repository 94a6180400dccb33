import { underscored, type Fault } from './overlay.js';
import type { ConveyorScenario, PlantScenario } from './scenario.js';

type Range = readonly [least: number, most: number];

/** Time constants, steps and the like: something must be divided by them. */
const ABOVE_ZERO: Range = [Number.MIN_VALUE, Infinity];
const FROM_ZERO: Range = [0, Infinity];
const SHARE: Range = [0, 1];
const DAY_MINUTES = 1440;
const DAYS = 7;
/** Beyond this a scenario no longer says "short stop". */
const MOST_STOPS_PER_HOUR = 16;
const LATEST_S = 3600;

/** What in a scenario cannot be so: every fault with its place, as the keys stand in a file. */
export function scenarioFaults({ conveyors, transport }: PlantScenario): Fault[] {
  const shares = { lostShare: SHARE, doubledShare: SHARE, lateShare: SHARE, lateS: [0, LATEST_S] } as const;
  return [
    ...outside('transport', transport, shares),
    ...Object.entries(conveyors).flatMap(([id, conveyor]) => conveyorFaults(`conveyors.${id}`, conveyor)),
  ];
}

function conveyorFaults(path: string, conveyor: ConveyorScenario): Fault[] {
  const { wear, shifts, heat, breathing, sensors, speedMPerMin } = conveyor;
  return [
    ...outside(path, { speedMPerMin }, { speedMPerMin: ABOVE_ZERO }),
    ...outside(`${path}.wear`, wear, {
      elongationPct: [-5, 20],
      pctPer1000Hours: FROM_ZERO,
      runInTimes: FROM_ZERO,
      runInHours: ABOVE_ZERO,
      hoursAtStart: FROM_ZERO,
      dryShare: FROM_ZERO,
    }),
    ...outside(`${path}.shifts`, shifts, {
      stopsPerHour: [0, MOST_STOPS_PER_HOUR],
      shortestStopS: ABOVE_ZERO,
      longestStopS: [shifts.shortestStopS, Infinity],
      scatterS: FROM_ZERO,
    }),
    ...weekFaults(`${path}.shifts.week`, shifts.week),
    ...(conveyor.load.week.length === DAYS ? [] : [`${path}.load.week must have seven days, from Monday to Sunday`]),
    ...Object.entries(heat).flatMap(([zone, scenario]) =>
      outside(`${path}.heat.${zone}`, scenario, {
        heatUpS: ABOVE_ZERO,
        coolDownS: ABOVE_ZERO,
        startBeforeS: [0, 86_400],
        spreadC: FROM_ZERO,
      }),
    ),
    ...outside(`${path}.breathing`, breathing, { relaxS: ABOVE_ZERO }),
    ...outside(`${path}.sensors`, sensors, {
      positionMm: FROM_ZERO,
      springMm: FROM_ZERO,
      temperatureC: FROM_ZERO,
      speedMPerMin: FROM_ZERO,
      resolutionMm: ABOVE_ZERO,
      resolutionC: ABOVE_ZERO,
      resolutionMPerMin: ABOVE_ZERO,
      jitterMs: FROM_ZERO,
      spikeShare: SHARE,
    }),
  ];
}

function weekFaults(path: string, week: ConveyorScenario['shifts']['week']): Fault[] {
  if (week.length !== DAYS) return [`${path} must have seven days, from Monday to Sunday`];
  return week.flatMap((day, index) =>
    day.every(withinDay)
      ? []
      : [`${path}[${String(index)}] must hold stretches such as [360, 1320], in minutes since midnight, the first before the last`],
  );
}

function withinDay(stretch: readonly number[]): boolean {
  const [from = -1, to = -1] = stretch;
  return stretch.length === 2 && from >= 0 && from < to && to <= DAY_MINUTES;
}

function outside<Part extends object>(path: string, part: Part, ranges: { readonly [Key in keyof Part]?: Range }): Fault[] {
  return Object.entries(ranges as Readonly<Record<string, Range>>).flatMap(([key, [least, most]]) => {
    const value = (part as Readonly<Record<string, unknown>>)[key];
    if (typeof value !== 'number' || (value >= least && value <= most)) return [];
    return [`${path}.${underscored(key)} is ${String(value)}; it must be ${said(least, most)}`];
  });
}

function said(least: number, most: number): string {
  if (most === Infinity) return least === Number.MIN_VALUE ? 'above 0' : `from ${String(least)} up`;
  return `from ${String(least)} to ${String(most)}`;
}
