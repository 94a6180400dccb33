import type { Conveyor } from '../../site/site.js';
import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';
import type { Output } from '../output.js';

export interface TemperatureRollSaved {
  readonly fromMs: SavedNumber;
  readonly count: number;
  readonly sum: number;
  readonly least: SavedNumber;
  readonly most: SavedNumber;
  readonly chainC: SavedNumber;
}

/** Draws the readings of one temperature together minute by minute; the extremes stay. */
export class TemperatureRoll {
  private fromMs = NaN;
  private count = 0;
  private sum = 0;
  private least = Infinity;
  private most = -Infinity;
  private chainC = NaN;

  /** @param lengthMs - how long a stretch is: a minute, but for whoever looks nearer */
  constructor(
    private readonly conveyor: string,
    private readonly signal: string,
    private readonly lengthMs: number,
    saved?: TemperatureRollSaved,
  ) {
    if (saved === undefined) return;
    this.fromMs = fromSaved(saved.fromMs);
    this.count = saved.count;
    this.sum = saved.sum;
    this.least = saved.least ?? Infinity;
    this.most = saved.most ?? -Infinity;
    this.chainC = fromSaved(saved.chainC);
  }

  /** @param chainC - how warm the chain is by now; NaN where it has the temperature that is measured */
  push(timeMs: number, temperatureC: number, chainC: number, out: Output[]): void {
    // Written so that a first reading, met with NaN, begins a minute.
    if (!(timeMs >= this.fromMs && timeMs < this.fromMs + this.lengthMs)) {
      this.close(out);
      this.fromMs = Math.floor(timeMs / this.lengthMs) * this.lengthMs;
    }
    this.count++;
    this.sum += temperatureC;
    if (temperatureC < this.least) this.least = temperatureC;
    if (temperatureC > this.most) this.most = temperatureC;
    this.chainC = chainC;
  }

  /** Gives out the minute so far, where there is anything in it. */
  close(out: Output[]): void {
    const { conveyor, signal, fromMs: timeMs, count, least: minC, most: maxC, chainC } = this;
    if (count > 0) out.push({ kind: 'temperature', conveyor, signal, timeMs, count, minC, maxC, meanC: this.sum / count, chainC });
    this.count = 0;
    this.sum = 0;
    this.least = Infinity;
    this.most = -Infinity;
  }

  save(): TemperatureRollSaved {
    const known = this.count > 0;
    return {
      fromMs: toSaved(this.fromMs),
      count: this.count,
      sum: this.sum,
      least: known ? this.least : null,
      most: known ? this.most : null,
      chainC: toSaved(this.chainC),
    };
  }
}

/** A roll for each zone of a conveyor, then for the ambient, as far as it is measured. */
export function temperatureRolls(
  { id, zones, ambient }: Conveyor,
  lengthMs: number,
  saved?: readonly (TemperatureRollSaved | undefined)[],
): readonly TemperatureRoll[] {
  const signals = [...zones, ...(ambient ? [ambient] : [])].map(({ temperature }) => temperature.name);
  return signals.map((signal, index) => new TemperatureRoll(id, signal, lengthMs, saved?.[index]));
}
