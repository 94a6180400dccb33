import { linearOf, type Linear } from '../../agent/flow/sample/scale.js';
import { conveyorSignals, type Site } from '../../agent/site/site.js';
import { LocalDays } from '../../agent/units/local-day.js';

/** A day as one reads it off a plain log: the mean of all that the two sensors said. */
export interface NaiveDay {
  readonly date: string;
  readonly takeup: number;
  readonly dayNumber: number;
  readonly meanMm: number;
  /** ε by the raw position: no heat, no pitches taken out, no nuts, no sensor that was re-zeroed. */
  readonly elongationPct: number;
}

/** The naive reading: raw positions, averaged by the day. */
export class NaiveReading {
  private readonly calendar: LocalDays;
  private readonly sums = new Map<string, { takeup: number; date: string; startMs: number; sum: number; count: number }>();
  private readonly roles: readonly { readonly takeup: number; readonly linear: Linear }[];
  private today = { startMs: NaN, endMs: NaN, date: '' };

  constructor(private readonly site: Site) {
    const [conveyor] = site.conveyors;
    if (conveyor === undefined) throw new Error('a plant of the score has one conveyor');
    this.calendar = new LocalDays(site.timezone);
    this.roles = conveyorSignals(conveyor).map((signal) => ({
      takeup:
        signal.quantity === 'position'
          ? conveyor.takeups.findIndex(({ sides }) => sides.left.position === signal || sides.right.position === signal)
          : -1,
      linear: linearOf(signal),
    }));
  }

  read(place: number, timeMs: number, raw: number): void {
    const role = this.roles[place];
    if (role === undefined || role.takeup < 0 || Number.isNaN(raw)) return;
    if (!(timeMs >= this.today.startMs && timeMs < this.today.endMs)) this.today = this.calendar.of(timeMs);
    const { date, startMs } = this.today;
    const key = `${date} ${String(role.takeup)}`;
    const day = this.sums.get(key) ?? { takeup: role.takeup, date, startMs, sum: 0, count: 0 };
    day.sum += role.linear.offset + role.linear.gain * raw;
    day.count++;
    this.sums.set(key, day);
  }

  days(): NaiveDay[] {
    const conveyor = this.site.conveyors[0] as Site['conveyors'][number];
    const { chain, takeups } = conveyor;
    return [...this.sums.values()].map(({ takeup, date, startMs, sum, count }) => {
      const own = takeups[takeup] as (typeof takeups)[number];
      const meanMm = sum / count;
      // Where several take-ups share the chain, each is taken to move alike.
      const lengthened = (own.gain * takeups.length * (meanMm - own.reference.positionMm)) / (chain.pitches * chain.pitchMm);
      return {
        date,
        takeup,
        dayNumber: Math.floor(startMs / 86_400_000) + 0.5,
        meanMm,
        elongationPct: chain.wearAtReferencePct + 100 * lengthened,
      };
    });
  }
}
