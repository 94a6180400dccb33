import { normal, streamOf } from './hash-noise.js';
import type { LoadScenario } from './scenario.js';
import type { PlantDay } from './shift-plan.js';

const SHIFT_MS = 8 * 3600_000;

/** How heavily a conveyor is loaded, 1 being usual: some of it goes by the week, some by the day, some by the shift. */
export class Load {
  private readonly stream: number;

  constructor(
    private readonly scenario: LoadScenario,
    seed: number,
    conveyor: string,
  ) {
    this.stream = streamOf(seed, `${conveyor} load`);
  }

  at(timeMs: number, day: PlantDay): number {
    const { week, weekSpread, daySpread, shiftSpread } = this.scenario;
    const shift = Math.floor((timeMs - day.startMs) / SHIFT_MS);
    const load =
      1 +
      (week[day.weekday] ?? 0) +
      weekSpread * normal(this.stream, Math.floor((day.number + 3) / 7)) +
      daySpread * normal(this.stream ^ 1, day.number) +
      shiftSpread * normal(this.stream ^ 2, 4 * day.number + shift);
    return Math.max(0.1, load);
  }
}
