import type { Figure, TakeupNow } from '../../../agent/contract/messages.js';
import type { SettledDayOutput } from '../../../agent/flow/output.js';
import type { Standing } from '../../../agent/plan/job-check.js';
import { settledSpringMm } from '../../../agent/plan/known-figures.js';

/** How a take-up stood when it settled last; undefined where it has no settled position. */
export function standingOfNow(now: TakeupNow | undefined): Standing | undefined {
  if (now === undefined || now.settledAt === undefined || typeof now.settledMm !== 'number') return undefined;
  const { chain } = now;
  return standing(now.settledAt, now.settledMm, chain.pitches, {
    elongation: scaled(chain.elongationPct),
    thermalMm: known(chain.thermalMm),
    left: settledSpringMm(now, 'left'),
    right: settledSpringMm(now, 'right'),
  });
}

/** How a take-up stood over a day; undefined for one without a settled window. */
export function standingOfDay(day: SettledDayOutput): Standing | undefined {
  if (!Number.isFinite(day.positionMm) || !Number.isFinite(day.pitches)) return undefined;
  return standing(day.date, day.positionMm, day.pitches, {
    elongation: day.flag === 'bound' || !Number.isFinite(day.elongationPct) ? undefined : day.elongationPct / 100,
    thermalMm: finite(day.thermalMm),
    left: finite(day.springLeftMm),
    right: finite(day.springRightMm),
  });
}

interface Rest {
  readonly elongation: number | undefined;
  readonly thermalMm: number | undefined;
  readonly left: number | undefined;
  readonly right: number | undefined;
}

function standing(asOf: string, positionMm: number, pitches: number, { elongation, thermalMm, left, right }: Rest): Standing {
  return {
    ...{ asOf, positionMm, pitches },
    ...(elongation === undefined ? {} : { elongation }),
    ...(thermalMm === undefined ? {} : { thermalMm }),
    ...(left === undefined || right === undefined ? {} : { springMm: { left, right } }),
  };
}

function known(figure: Figure): number | undefined {
  return typeof figure === 'number' ? figure : undefined;
}

function scaled(figure: Figure): number | undefined {
  return typeof figure === 'number' ? figure / 100 : undefined;
}

function finite(value: number): number | undefined {
  return Number.isFinite(value) ? value : undefined;
}
