import { readFileSync } from 'node:fs';
import { DuckDBInstance, type DuckDBConnection } from '@duckdb/node-api';
import { TheilSenRegression } from 'ml-regression-theil-sen';
import { beforeAll, describe, expect, it } from 'vitest';
import type { WindowRecord } from '../../agent/flow/ledger/window-record.js';
import type { Output, SettledDayOutput } from '../../agent/flow/output.js';
import { Pipeline } from '../../agent/pipeline.js';
import { openRecording } from '../../agent/recording/open-recording.js';
import { entriesOf, runCase, siteOf } from '../../agent/replay/replay-cases.js';
import type { ReplayResult } from '../../agent/replay/replay.js';
import { summaryOf } from '../../agent/replay/summary.js';

// Tag [L]: the whole chain of figures worked out by an installed general-purpose package, DuckDB (@duckdb/node-api), from mechanics alone, in
// whole-chain.sql. Tolerances are named at each figure; where none is, only the rounding of doubles is let pass.

const CASE = 'fixtures/replay/whole-chain';
const NOTHING = 1e-6;

type Row = Readonly<Record<string, number>>;

let db: DuckDBConnection;
let result: ReplayResult;
/** Smoothed values by signal and time, and the settled windows as they were known, of our own pipeline. */
const smoothed = new Map<string, number>();
const windows: WindowRecord[] = [];
const spikes: string[] = [];

beforeAll(async () => {
  db = await (await DuckDBInstance.create(':memory:')).connect();
  const sql = readFileSync('tests/published/whole-chain.sql', 'utf8').replaceAll('$recording', `${CASE}/recording.csv`);
  for (const statement of sql.split(/;\s*$/m)) if (statement.trim() !== '') await db.run(statement);
  result = await runCase({ name: 'whole-chain', folder: CASE });
  await walk();
}, 120_000);

/** Runs the pipeline a reading at a time, and looks at what the filters hold after each. */
async function walk(): Promise<void> {
  const site = await siteOf(`${CASE}/site.yaml`);
  const entries = [...(await entriesOf(`${CASE}/service.jsonl`, site))];
  const pipeline = new Pipeline(site);
  const way = pipeline.ways[0]!;
  const sides = [way.tracks[0]!.left, way.tracks[0]!.right];
  for await (const { count, timeMs, signal, value } of openRecording(`${CASE}/recording.csv`, pipeline.signals, () => undefined)) {
    for (let row = 0; row < count; row++) {
      while ((entries[0]?.timeMs ?? Infinity) <= timeMs[row]!) {
        const entry = entries.shift()!;
        pipeline.advance({ kind: 'service', timeMs: entry.timeMs, entry });
      }
      const out: Output[] = [];
      pipeline.read(signal[row]!, timeMs[row]!, value[row]!, out);
      for (const output of out) if (output.kind === 'reject' && output.reason === 'spike') spikes.push(`${output.signal} ${output.timeMs}`);
      for (const { side, position } of sides) {
        if (!Number.isNaN(position.timeMs)) smoothed.set(`${side.position.name} ${position.timeMs}`, position.smoothed);
      }
      const window = way.account.histories[0]!.last;
      if (window !== undefined && window.toMs > (windows.at(-1)?.toMs ?? 0)) windows.push(window);
    }
  }
}

async function rows(query: string): Promise<Row[]> {
  const found = await db.runAndReadAll(query);
  return found.getRowObjects().map((row) => Object.fromEntries(Object.entries(row).map(([name, value]) => [name, Number(value)])));
}

/** The largest difference of a figure between two lists that run side by side. */
function furthest<A, B>(a: readonly A[], b: readonly B[], of: (one: A, other: B) => number): number {
  return Math.max(...a.map((one, index) => Math.abs(of(one, b[index]!))));
}

describe('one recording with spikes, a gap, stops, heat, a removal and turned nuts, by two ways', () => {
  it('has the same position readings thrown out as spikes, and next to none of a spring without any', async () => {
    const found = await db.runAndReadAll(`SELECT signal || ' ' || t AS name FROM judged WHERE spike`);
    const ofPositions = spikes.filter((name) => name.includes('/position'));
    expect(ofPositions.toSorted()).toEqual(
      found
        .getRowObjects()
        .map(({ name }) => String(name))
        .toSorted(),
    );
    expect(ofPositions.length).toBeGreaterThan(20);
    // Our filter learns its floor from the noise, where the reference knows that there are no spikes in the spring: mechanics asks for
    // less than one good reading in a thousand.
    expect(spikes.length - ofPositions.length).toBeLessThan(6);
    expect(result.rejected.spike).toBe(spikes.length);
  });

  it('is smoothed to the same value after every reading of both sides', async () => {
    const found = await db.runAndReadAll(`SELECT signal || ' ' || t AS name, v FROM smoothed WHERE signal LIKE '%/position'`);
    const reference = new Map(found.getRowObjects().map(({ name, v }) => [String(name), Number(v)]));
    // The last three before the gap and before the end are judged together, so that only what lies after them can be looked at.
    expect(reference.size - smoothed.size).toBe(2 * 2 * 3);
    expect(Math.max(...[...smoothed].map(([name, v]) => Math.abs(v - reference.get(name)!)))).toBeLessThan(NOTHING);
  });

  it('settles in the same windows, with the same medians and breathing', async () => {
    const reference = await rows('SELECT * FROM settled ORDER BY t');
    expect(windows.map(({ fromMs, toMs }) => [fromMs, toMs])).toEqual(reference.map((row) => [row['from_t'], row['t']]));
    for (const [column, of, tolerance] of [
      ['x', 'mean', NOTHING],
      ['l', 'left', NOTHING],
      ['r', 'right', NOTHING],
      ['skew', 'skew', NOTHING],
      ['breathing', 'breathing', NOTHING],
      ['run_hours', 'runHours', NOTHING],
      // A spring is read at its own instants: beside a spike of the carriage a sample has the spring of the next reading, which moves the
      // median of fifteen by a step between two of them.
      ['spring_r', 'springRight', 1],
    ] as const) {
      expect([column, furthest(windows, reference, (window, row) => window[of] - row[column]!)]).toEqual([column, within(tolerance)]);
    }
  });

  it('gives the same figures of every day', async () => {
    const reference = await rows('SELECT *, epoch_ms(CAST(date AS TIMESTAMP)) AS at FROM day ORDER BY date');
    expect(result.days.map(({ date }) => Date.parse(date))).toEqual(reference.map((row) => row['at']));
    const tolerances: readonly (readonly [string, keyof SettledDayOutput, factor: number, tolerance: number])[] = [
      ['x', 'positionMm', 1, NOTHING],
      ['skew', 'skewMm', 1, NOTHING],
      ['breathing', 'breathingMm', 1, NOTHING],
      ['n', 'pitches', 1, NOTHING],
      ['spring_l', 'springLeftMm', 1, NOTHING],
      ['spring_r', 'springRightMm', 1, NOTHING],
      // Days older than four days are drawn together, and their tension follows from the day's median springs.
      ['tension', 'strandTensionN', 1, 0.5],
      ['elastic', 'elasticMm', 1, 0.02],
      // mm of chain, of the 20 by which it grows and shrinks: the program knows the chain's temperature as of the oven's last reading, up to ten
      // minutes old, and for a window as it is when its last reading is judged, three readings later.
      ['thermal', 'thermalMm', 1, 0.5],
      // Points of per cent, a fifth of what elongation may be off by: a day drawn together has the elongation of its median position and
      // heat, the reference the median of its windows' elongations.
      ['elongation', 'elongationPct', 100, 0.001],
    ];
    for (const [column, of, factor, tolerance] of tolerances) {
      expect([column, furthest(result.days, reference, (day, row) => Number(day[of]) - factor * row[column]!)]).toEqual([
        column,
        within(tolerance),
      ]);
    }
  });

  it('takes two pitches out at the removal, without a step of the elongation', async () => {
    const reference = await rows('SELECT n, elongation FROM figures ORDER BY t');
    const at = reference.findIndex((row) => row['n'] === 3198);
    const [before, after] = [reference.slice(at - 8, at), reference.slice(at, at + 8)].map(
      (part) => part.reduce((sum, row) => sum + row['elongation']!, 0) / part.length,
    );
    // A step of two pitches not accounted for would be 0.0625 points; what is let pass is half a day of wear and the heat of a morning.
    expect(100 * (after! - before!)).toEqual(within(0.004));
    expect(result.findings.map(({ finding }) => finding)).toEqual(['chain-removed', 'nut-turned']);
  });

  it('comes to the same wear a day, travel a day and end of the stroke', async () => {
    const [reference] = await rows('SELECT *, epoch_ms(CAST(as_of AS TIMESTAMP)) AS at FROM trend');
    const { trend } = summaryOf(result).takeups[0]!;
    // 2 %: of the days' elongation above, those older than four days lie 0.0004 points higher.
    expect(Math.abs(trend.elongationPctPerDay!.value / (100 * reference!['per_day']!) - 1)).toBeLessThan(0.02);
    expect(Math.abs(trend.travelMmPerDay! / reference!['travel']! - 1)).toBeLessThan(0.02);
    // 2 % of the 75 days that are left.
    const days = (Date.parse(trend.strokeOut!.date) - reference!['at']!) / 86_400_000;
    expect(Math.abs(days - reference!['days_left']!)).toBeLessThan(1.5);
  });

  it('has the slope of its days from a second package, ml-regression-theil-sen, too', async () => {
    const days = await rows('SELECT run_hours, elongation FROM day ORDER BY date');
    const line = new TheilSenRegression(
      days.map((day) => day['run_hours']!),
      days.map((day) => day['elongation']!),
    );
    const [{ per_hour } = { per_hour: NaN }] = await rows(
      'SELECT median((b.elongation - a.elongation) / (b.run_hours - a.run_hours)) AS per_hour FROM day AS a JOIN day AS b ON b.run_hours > a.run_hours',
    );
    expect(line.slope).toBeCloseTo(per_hour, 12);
  });
});

/** At most so far from nothing. */
function within(tolerance: number): unknown {
  return { asymmetricMatch: (value: number) => Math.abs(value) <= tolerance, toString: () => `at most ${tolerance}` };
}
