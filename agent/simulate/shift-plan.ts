import { dayNumberOf, LocalDays } from '../units/local-day.js';
import { even, streamOf } from './hash-noise.js';
import type { ForcedStretch } from './forced-stretch.js';
import type { ShiftScenario } from './scenario.js';
import { unite, within, without, type Stretches } from './stretches.js';

/** A local day as the plant lives it. */
export interface PlantDay {
  readonly date: string;
  /** Days since 1970-01-01, of the local date. */
  readonly number: number;
  /** 0 Monday … 6 Sunday. */
  readonly weekday: number;
  readonly startMs: number;
  readonly endMs: number;
  /** When it is meant to run, short stops left out of account. */
  readonly shifts: Stretches;
  /** When it runs. */
  readonly runs: Stretches;
}

/** What the conveyor does at a time, and until when at least. */
export interface RunningState {
  readonly running: boolean;
  readonly untilMs: number;
}

const MINUTE_MS = 60_000;
const HOUR_MS = 3600_000;
/** Days kept at hand: today, and its neighbours for the heating that begins before a shift. */
const KEEP_DAYS = 4;

/** When a conveyor runs: shifts, weekends and random short stops, all of it a plain consequence of seed and time. */
export class ShiftPlan {
  private readonly calendar: LocalDays;
  private readonly stream: number;
  private days: PlantDay[] = [];

  /** @param forced - stretches in which it runs or stands whatever the shifts say; the last one holds */
  constructor(
    private readonly shifts: ShiftScenario,
    private readonly forced: readonly ForcedStretch[],
    timezone: string,
    seed: number,
    conveyor: string,
  ) {
    this.calendar = new LocalDays(timezone);
    this.stream = streamOf(seed, `${conveyor} shifts`);
  }

  dayOf(timeMs: number): PlantDay {
    const known = this.days.find(({ startMs, endMs }) => timeMs >= startMs && timeMs < endMs);
    if (known !== undefined) return known;
    const day = this.plan(timeMs);
    this.days = [...this.days, day].slice(-KEEP_DAYS);
    return day;
  }

  stateAt(timeMs: number): RunningState {
    const day = this.dayOf(timeMs);
    for (const [from, to] of day.runs) {
      if (timeMs < from) return { running: false, untilMs: from };
      if (timeMs < to) return { running: true, untilMs: to };
    }
    return { running: false, untilMs: day.endMs };
  }

  /** Whether a zone that is warmed up so long before each shift is heated. */
  heated(timeMs: number, beforeMs: number): boolean {
    const today = this.dayOf(timeMs);
    const soon = timeMs + beforeMs < today.endMs ? [today] : [today, this.dayOf(today.endMs)];
    return soon.some(({ shifts }) => shifts.some(([from, to]) => timeMs >= from - beforeMs && timeMs < to));
  }

  private plan(timeMs: number): PlantDay {
    const { date, startMs, endMs } = this.calendar.of(timeMs);
    const number = dayNumberOf(date);
    const weekday = (number + 3) % 7;
    const planned = (this.shifts.week[weekday] ?? []).map(([from, to], index): [number, number] => [
      from === 0 ? startMs : startMs + from * MINUTE_MS + this.late(2 * index, number),
      to === 1440 ? endMs : startMs + to * MINUTE_MS + this.late(2 * index + 1, number),
    ]);
    const asked = within(unite(planned), startMs, endMs);
    const runs = this.withForced(withoutAll(asked, this.stopsOf(asked)), startMs, endMs);
    // What is made to run is warm for it; what is made to stand for an hour is not let go cold.
    const extra = this.forced.filter(({ running }) => running).map(({ fromMs, toMs }): [number, number] => [fromMs, toMs]);
    return { date, number, weekday, startMs, endMs, shifts: within(unite([...asked, ...extra]), startMs, endMs), runs };
  }

  private late(which: number, day: number): number {
    return Math.round(1000 * this.shifts.scatterS * even(this.stream, 64 * day + which));
  }

  /** Short stops: so many in each clock hour of a shift, long ones rarer than short ones. */
  private stopsOf(shifts: Stretches): Stretches {
    const { stopsPerHour, shortestStopS, longestStopS } = this.shifts;
    const stops: [number, number][] = [];
    for (const [from, to] of shifts) {
      for (let hour = Math.floor(from / HOUR_MS); hour * HOUR_MS < to; hour++) {
        const count = Math.floor(stopsPerHour + even(this.stream ^ 1, hour));
        for (let stop = 0; stop < count; stop++) {
          const at = Math.round((hour + even(this.stream ^ 2, 16 * hour + stop)) * HOUR_MS);
          const seconds = shortestStopS * (longestStopS / shortestStopS) ** even(this.stream ^ 3, 16 * hour + stop);
          stops.push([at, at + Math.round(1000 * seconds)]);
        }
      }
    }
    return stops;
  }

  private withForced(runs: Stretches, startMs: number, endMs: number): Stretches {
    let out = runs;
    for (const { fromMs, toMs, running } of this.forced) {
      if (toMs <= startMs || fromMs >= endMs) continue;
      const rest = without(out, fromMs, toMs);
      out = running ? unite([...rest, ...within([[fromMs, toMs]], startMs, endMs)]) : rest;
    }
    return out;
  }
}

function withoutAll(stretches: Stretches, stops: Stretches): Stretches {
  return stops.reduce((left, [from, to]) => without(left, from, to), stretches);
}
