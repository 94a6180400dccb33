import type { Conveyor, Site } from '../../agent/site/site.js';
import type { PositionSeries, TemperatureSeries } from '../../agent/store/series.js';
import { TakelineFault } from '../../agent/process/fault.js';
import type { HistoryReader } from './lazy-history.js';
import type { CoarseReason, SeriesAnswer } from './logic/answers.js';
import { finerWidthMs, isCoarse, whyNotFiner, withChain, withSettled } from './logic/finer-series.js';
import { ProblemError } from './logic/problem.js';

interface Stretch {
  readonly conveyor: string;
  readonly takeup: string;
  readonly fromMs: number;
  readonly toMs: number;
}

/** A take-up's history drawn from its raw readings, in points finer than a minute. */
export type ReadingSeriesOf = (
  query: Stretch & { readonly widthMs: number },
) => Promise<{ readonly positions: PositionSeries; readonly temperatures: readonly TemperatureSeries[] } | 'too-many'>;

/** Puts together what a picture of a take-up's past shows, from the coarsest source that is finer than a pixel. */
export class SeriesDesk {
  /** Readings are gone through for one picture at a time: the work is the agent's neighbour. */
  private turn: Promise<unknown> = Promise.resolve();

  constructor(
    private readonly history: HistoryReader,
    private readonly site: Site,
    private readonly readingSeries: ReadingSeriesOf,
  ) {}

  /** @throws ProblemError where the history cannot be read */
  async answer(query: Stretch & { readonly px: number }): Promise<SeriesAnswer> {
    const { history, site } = this;
    const { fromMs, toMs, px } = query;
    const conveyor = site.conveyors.find(({ id }) => id === query.conveyor);
    const kept = await history.positionSeries({ ...query, timezone: site.timezone });
    const course = await this.course(conveyor, query, kept.widthMs);
    if (isCoarse(kept.widthMs, fromMs, toMs, px)) return { ...kept, ...course, coarse: 'readings-gone' };
    const sides = conveyor?.takeups.find(({ id }) => id === query.takeup)?.sides;
    const periodS = Math.max(sides?.left.position.periodS ?? 1, sides?.right.position.periodS ?? 1);
    const widthMs = finerWidthMs(fromMs, toMs, px, periodS);
    if (widthMs === undefined) return { ...kept, ...course };
    const finer = await this.finer({ ...query, widthMs }, kept);
    if (typeof finer === 'string') return { ...kept, ...course, coarse: finer };
    const heardToMs = (finer.positions.timeMs.at(-1) ?? -Infinity) + widthMs;
    const { running } = await this.course(conveyor, query, widthMs, heardToMs);
    const temperatures = finer.temperatures.map((one) =>
      withChain(
        one,
        course.temperatures.find(({ signal }) => signal === one.signal),
      ),
    );
    return { ...withSettled(finer.positions, kept), temperatures, running };
  }

  private async course(conveyor: Conveyor | undefined, { fromMs, toMs }: Stretch, widthMs: number, heardToMs = -Infinity): Promise<Course> {
    if (conveyor === undefined) return { temperatures: [], running: null };
    const temperatures = [...conveyor.zones, ...(conveyor.ambient ? [conveyor.ambient] : [])].map(({ temperature }) => temperature.name);
    const course = await this.history.conveyorCourse({ conveyor: conveyor.id, temperatures, fromMs, toMs, widthMs, heardToMs });
    return { temperatures: course.temperatures, running: conveyor.running === undefined ? null : course.running };
  }

  private async finer(query: Stretch & { readonly widthMs: number }, kept: PositionSeries): Promise<CoarseReason | FinerSeries> {
    const mine = this.turn.then(() => this.readingSeries(query));
    this.turn = mine.catch(() => undefined);
    try {
      const finer = await mine;
      if (finer === 'too-many') return 'too-many-readings';
      return whyNotFiner(kept, finer.positions, query.fromMs, query.toMs) ?? finer;
    } catch (error) {
      if (error instanceof TakelineFault) throw new ProblemError('no-history', error.message);
      throw error;
    }
  }
}

type Course = Pick<SeriesAnswer, 'temperatures' | 'running'>;
type FinerSeries = Exclude<Awaited<ReturnType<ReadingSeriesOf>>, 'too-many'>;
