import type { Conveyor, Takeup } from '../site/site.js';
import type { Stand } from './chain-physics.js';
import { springMm, type CarriageState, type ConveyorState } from './conveyor-state.js';
import type { TruthDay } from './truth.js';

/** What is summed over the running time of a day, for one take-up. */
const SUMMED = [
  'positionMm',
  'skewMm',
  'elongationPct',
  'thermalMm',
  'elasticMm',
  'springLeftMm',
  'springRightMm',
  'carriageForceN',
  'strandTensionN',
] as const satisfies readonly (keyof TruthDay)[];

type Figures = Readonly<Record<(typeof SUMMED)[number], number>>;

export interface TruthDaysSaved {
  readonly date: string;
  readonly hours: number;
  readonly pitches: number;
  /** By take-up, figure times hours. */
  readonly sums: readonly (readonly number[])[];
}

/** The true figures of each local day, gathered over its running time. */
export class TruthDays {
  readonly finished: TruthDay[] = [];
  private date: string;
  private hours: number;
  private pitches: number;
  private sums: number[][];

  constructor(
    private readonly conveyor: Conveyor,
    saved?: TruthDaysSaved,
  ) {
    this.date = saved?.date ?? '';
    this.hours = saved?.hours ?? 0;
    this.pitches = saved?.pitches ?? conveyor.chain.pitches;
    this.sums = saved ? saved.sums.map((sums) => [...sums]) : conveyor.takeups.map(() => SUMMED.map(() => 0));
  }

  /** Takes in a stretch of time. @param hours - of running in it */
  add(date: string, hours: number, state: ConveyorState, stand: Stand): void {
    if (date !== this.date) this.begin(date);
    this.pitches = state.pitches;
    if (hours === 0) return;
    this.hours += hours;
    this.conveyor.takeups.forEach((_, index) => {
      const figures = trueFigures(index, state, stand);
      const sums = this.sums[index] as number[];
      SUMMED.forEach((name, at) => {
        sums[at] = (sums[at] as number) + hours * figures[name];
      });
    });
  }

  /** The finished days and the one that goes on, where it has run. */
  all(): readonly TruthDay[] {
    return [...this.finished, ...this.rows()];
  }

  /** Means of the day that goes on, by take-up. */
  private rows(): TruthDay[] {
    if (this.hours === 0) return [];
    return this.conveyor.takeups.map(({ id }: Takeup, index): TruthDay => {
      const sums = this.sums[index] as number[];
      const means = Object.fromEntries(SUMMED.map((name, at) => [name, (sums[at] as number) / this.hours])) as unknown as Figures;
      return { date: this.date, conveyor: this.conveyor.id, takeup: id, ...means, pitches: this.pitches, runHours: this.hours };
    });
  }

  private begin(date: string): void {
    this.finished.push(...this.rows());
    this.date = date;
    this.hours = 0;
    this.sums = this.sums.map((sums) => sums.map(() => 0));
  }

  save(): TruthDaysSaved {
    return { date: this.date, hours: this.hours, pitches: this.pitches, sums: this.sums };
  }
}

/** How one take-up really stands, breathing left out. */
export function trueFigures(index: number, state: ConveyorState, stand: Stand): Figures {
  const { xMm, skewMm, forceN, tensionN } = stand.carriages[index] as Stand['carriages'][number];
  const { left, right } = state.carriages[index] as CarriageState;
  return {
    positionMm: xMm,
    skewMm,
    elongationPct: 100 * state.elongation,
    thermalMm: stand.thermalMm,
    elasticMm: stand.elasticMm,
    springLeftMm: springMm(left, xMm + skewMm / 2),
    springRightMm: springMm(right, xMm - skewMm / 2),
    carriageForceN: forceN,
    strandTensionN: tensionN,
  };
}
