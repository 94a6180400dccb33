import type { MinuteOutput, Output, TemperatureOutput } from '../flow/output.js';
import { siteSettings } from '../flow/way/site-settings.js';
import { Pipeline } from '../pipeline.js';
import { conveyorSignals, type Conveyor, type SideName, type Site, type Takeup } from '../site/site.js';
import { temperatureColumns, type WarmthPoint } from '../store/course-query.js';
import type { PositionSeries, SpringSettingRow, TemperatureSeries } from '../store/series.js';
import { positionColumns, type PositionPoint } from '../store/series-query.js';
import type { StoreReader } from '../store/store.js';

/** A stretch of one take-up, to be drawn from its readings. */
export interface ReadingSeriesQuery {
  readonly conveyor: string;
  readonly takeup: string;
  readonly fromMs: number;
  readonly toMs: number;
  /** Width of a point, below a minute. */
  readonly widthMs: number;
}

export interface ReadingSeries {
  /** Without settled values, which are of whole days. */
  readonly positions: PositionSeries;
  /** Without how warm the chain is, which readings of a few minutes do not tell. */
  readonly temperatures: readonly TemperatureSeries[];
}

type Reader = Pick<StoreReader, 'readings' | 'springSettings' | 'stop'>;

/** So many are looked through: about a second of work. */
const MOST_READINGS = 400_000;
/** The filter must have learnt a sensor's noise, and the smoothing have settled, before what is shown begins. */
const LEAD_MS = 300_000;
const LEAD_READINGS = 300;

/**
 * A take-up's history in points finer than a minute: its raw readings through the pipeline once more, so that the same spikes are left
 * out, the same faults are gaps, and the springs are followed as they were then.
 *
 * @returns 'too-many' where more readings would have to be looked through than a person waits for
 * @throws TakelineFault, by rejection, where the history cannot be read
 */
export async function readingSeries(
  openReader: () => Promise<Reader>,
  site: Site,
  query: ReadingSeriesQuery,
): Promise<ReadingSeries | 'too-many'> {
  const conveyor = site.conveyors.find(({ id }) => id === query.conveyor);
  const takeup = conveyor?.takeups.find(({ id }) => id === query.takeup);
  if (conveyor === undefined || takeup === undefined) throw new RangeError(`there is no take-up ${query.takeup} on ${query.conveyor}`);
  const fromMs = query.fromMs - leadOf(takeup);
  const expected = conveyorSignals({ ...conveyor, takeups: [takeup] }).reduce((sum, { periodS }) => sum + 1 / periodS, 0);
  if ((expected * (query.toMs - fromMs)) / 1000 > MOST_READINGS) return 'too-many';
  const reader = await openReader();
  try {
    const springs = await reader.springSettings(conveyor.id, takeup.id, query.toMs);
    const again = new ReadAgain(site, conveyor, takeup, springs, fromMs, query.widthMs);
    let count = 0;
    for await (const rows of reader.readings(again.signals, fromMs, query.toMs)) {
      count += rows.count;
      if (count > MOST_READINGS) return 'too-many';
      again.take(rows);
    }
    return again.finish(query);
  } finally {
    await reader.stop();
  }
}

function leadOf({ sides: { left, right } }: Takeup): number {
  return Math.max(LEAD_MS, LEAD_READINGS * 1000 * Math.max(left.position.periodS, right.position.periodS));
}

const NO_SPRINGS = [null, null, null, null] as const;

/** The pipeline of one take-up, with its springs as they were. */
class ReadAgain {
  private readonly pipeline: Pipeline;
  private readonly minutes: MinuteOutput[] = [];
  private readonly temperatures: TemperatureOutput[] = [];
  private readonly out: Output[] = [];
  private readonly changes: SpringSettingRow[];
  /** Before this it was not kept how the springs were followed: their lengths and forces are not known. */
  private readonly springsFromMs: number;
  private readonly imposed = new Map<SideName, SpringSettingRow['setting']>();

  constructor(
    site: Site,
    conveyor: Conveyor,
    takeup: Takeup,
    springs: readonly SpringSettingRow[],
    fromMs: number,
    private readonly widthMs: number,
  ) {
    const narrowed: Site = { ...site, conveyors: [{ ...conveyor, takeups: [takeup] }] };
    this.pipeline = new Pipeline(narrowed, { ...siteSettings(site.filter), rollMs: widthMs });
    const told = (['left', 'right'] as const).map((side) => springs.find((row) => row.side === side)?.timeMs ?? Infinity);
    this.springsFromMs = Math.max(...told);
    for (const row of springs) if (row.timeMs <= fromMs) this.set(row);
    this.changes = springs.filter(({ timeMs }) => timeMs > fromMs);
  }

  get signals(): readonly string[] {
    return this.pipeline.signals;
  }

  take(rows: { readonly count: number; readonly signal: Int32Array; readonly timeMs: Float64Array; readonly value: Float64Array }): void {
    let row = 0;
    while (row < rows.count) {
      const [next] = this.changes;
      let end = rows.count;
      if (next !== undefined) {
        end = row;
        while (end < rows.count && (rows.timeMs[end] as number) < next.timeMs) end++;
      }
      while (row < end) {
        row = this.pipeline.readRows(rows, row, end, this.out);
        this.impose();
      }
      if (next !== undefined && end < rows.count) {
        this.set(next);
        this.changes.shift();
      }
    }
    this.sort();
  }

  finish({ fromMs, toMs }: ReadingSeriesQuery): ReadingSeries {
    this.out.push(...this.pipeline.finish());
    this.sort();
    const within = ({ timeMs }: { readonly timeMs: number }): boolean => timeMs + this.widthMs > fromMs && timeMs < toMs;
    const points = this.minutes
      .filter(within)
      .map((of): PositionPoint => [
        ...([of.timeMs, of.count, known(of.minMm), known(of.maxMm), known(of.meanMm)] as const),
        ...(of.timeMs < this.springsFromMs
          ? NO_SPRINGS
          : ([known(of.springMinMm), known(of.tensionN), known(of.tensionMinN), known(of.tensionMaxN)] as const)),
      ]);
    const warm = this.temperatures.filter(within);
    return {
      positions: positionColumns('readings', this.widthMs, points, () => null),
      temperatures: conveyorSignals(this.pipeline.site.conveyors[0] as Conveyor)
        .filter(({ quantity }) => quantity === 'temperature')
        .map(({ name: signal }) => {
          const own = warm.filter((one) => one.signal === signal);
          const pointOf = ({ timeMs, count, minC, maxC, meanC }: TemperatureOutput): WarmthPoint => [
            timeMs,
            count,
            minC,
            maxC,
            meanC,
            null,
          ];
          return temperatureColumns(signal, own.map(pointOf), this.widthMs);
        }),
    };
  }

  private set({ side, setting }: SpringSettingRow): void {
    this.imposed.set(side, setting);
    this.impose();
  }

  /** The pipeline has no service entries here: after a step it would take the nuts to be as the site file has them. */
  private impose(): void {
    const track = this.pipeline.ways[0]?.takeups[0]?.track;
    for (const [side, setting] of this.imposed) if (track !== undefined && track[side].setting !== setting) track[side].change(setting);
  }

  private sort(): void {
    for (const output of this.out) {
      if (output.kind === 'minute') this.minutes.push(output);
      else if (output.kind === 'temperature') this.temperatures.push(output);
    }
    this.out.length = 0;
  }
}

function known(value: number): number | null {
  return Number.isNaN(value) ? null : value;
}
