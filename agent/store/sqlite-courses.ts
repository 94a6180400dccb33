import type { Database, Statement } from 'better-sqlite3';
import type { MinuteOutput, RunningOutput, TemperatureOutput } from '../flow/output.js';
import { type ColumnMap, insertInto, takePlace } from './columns.js';
import type { OutputBatch } from './history.js';
import { MINUTE_COLUMNS, TEMPERATURE_COLUMNS } from './output-columns.js';
import { POSITIONS, SqliteRollUps, TEMPERATURES } from './sqlite-roll-ups.js';

interface OfTakeup {
  readonly conveyor: string;
  readonly takeup: string;
}

/** Writes what history is drawn of: minutes with their hours and days, temperatures likewise, starts and stops, how springs are followed. */
export class SqliteCourses {
  private readonly positions: SqliteRollUps;
  private readonly warmth: SqliteRollUps;
  private readonly putMinute: Statement<[object]>;
  private readonly putTemperature: Statement<[object]>;
  private readonly putRun: Statement<[string, number, number | null]>;
  private readonly putSpring: Statement<[object]>;
  private readonly addSignal: Statement<[string]>;
  private readonly findSignal: Statement<[string], number>;

  constructor(db: Database) {
    this.positions = new SqliteRollUps(db, POSITIONS);
    this.warmth = new SqliteRollUps(db, TEMPERATURES);
    this.putMinute = db.prepare(upsert('minute', { takeupId: 'takeup_id', ...MINUTE_COLUMNS }, ['takeup_id', 'time_ms']));
    this.putTemperature = db.prepare(upsert('temperature_minute', { signalId: 'signal', ...TEMPERATURE_COLUMNS }, ['signal', 'time_ms']));
    this.putRun = db.prepare('INSERT OR REPLACE INTO running_turn (conveyor, time_ms, running) VALUES (?, ?, ?)');
    // A start tells it anew, the same as before.
    this.putSpring = db.prepare(
      `INSERT OR REPLACE INTO spring_setting (takeup_id, side, time_ms, setting) SELECT @takeupId, @side, @timeMs, @setting
       WHERE @setting IS NOT (SELECT setting FROM spring_setting WHERE takeup_id = @takeupId AND side = @side AND time_ms <= @timeMs
                              ORDER BY time_ms DESC LIMIT 1)`,
    );
    this.addSignal = db.prepare('INSERT INTO signal (name) VALUES (?) ON CONFLICT DO NOTHING');
    this.findSignal = db.prepare<[string], number>('SELECT id FROM signal WHERE name = ?').pluck();
  }

  /** @param takeupId - the id of a take-up, entered where it is new */
  put({ minutes = [], temperatures = [], runs = [], springs = [] }: OutputBatch, takeupId: (of: OfTakeup) => number): void {
    this.putMinutes(minutes, takeupId);
    this.putTemperatures(temperatures);
    for (const { conveyor, timeMs, running } of runs) this.putRun.run(conveyor, timeMs, stateOf(running));
    for (const { side, timeMs, setting, ...of } of springs)
      this.putSpring.run({ takeupId: takeupId(of), side, timeMs, setting: JSON.stringify(setting) });
  }

  private putMinutes(minutes: readonly MinuteOutput[], takeupId: (of: OfTakeup) => number): void {
    const touched = this.positions.touched();
    for (const minute of minutes) {
      const id = takeupId(minute);
      this.putMinute.run({ ...minute, takeupId: id });
      touched.add(id, minute.timeMs);
    }
    touched.rollUp();
  }

  private putTemperatures(temperatures: readonly TemperatureOutput[]): void {
    const touched = this.warmth.touched();
    for (const temperature of temperatures) {
      const signalId = this.signalId(temperature.signal);
      this.putTemperature.run({ ...temperature, signalId });
      touched.add(signalId, temperature.timeMs);
    }
    touched.rollUp();
  }

  private signalId(name: string): number {
    const known = this.findSignal.get(name);
    if (known !== undefined) return known;
    this.addSignal.run(name);
    return this.findSignal.get(name) as number;
  }
}

function stateOf(running: RunningOutput['running']): number | null {
  return Number.isNaN(running) ? null : running;
}

/** `INSERT …`, the later row taking the place of one with the same key. */
export function upsert(table: string, columns: ColumnMap<string>, key: readonly string[]): string {
  return `${insertInto(table, columns)} ON CONFLICT (${key.join(', ')}) DO UPDATE SET ${takePlace(columns, key)}`;
}
