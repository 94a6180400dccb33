import type { Database, Statement, Transaction } from 'better-sqlite3';
import type { FindingOutput } from '../flow/output.js';
import { insertInto } from './columns.js';
import type { AlarmEvent, OutputBatch } from './history.js';
import type { Checkpoint, NewCheckpoint } from './journal.js';
import { DAY_COLUMNS, EVENT_COLUMNS, FINDING_COLUMNS } from './output-columns.js';
import { SqliteCourses, upsert } from './sqlite-courses.js';
import type { SqlitePastDays } from './sqlite-past-days.js';

const BY_TAKEUP = { takeupId: 'takeup_id' };

interface OfTakeup {
  readonly conveyor: string;
  readonly takeup: string;
}

/** What the pipeline gives out, and the checkpoint, written in one transaction. */
export class SqliteOutputs {
  private readonly writeAll: Transaction<(outputs: OutputBatch) => readonly string[]>;
  private readonly courses: SqliteCourses;
  private readonly addTakeup: Statement<[OfTakeup]>;
  private readonly findTakeup: Statement<[OfTakeup], number>;
  private readonly addEvent: Statement<[object]>;
  private readonly putDay: Statement<[object]>;
  private readonly putFinding: Statement<[object]>;
  private readonly putCheckpoint: Statement<[Checkpoint]>;
  private readonly selectCheckpoint: Statement<[], Checkpoint>;
  private readonly putPart: Statement<[string, string]>;
  private readonly dropOtherParts: Statement<[string]>;
  private readonly selectPart: Statement<[string], string>;

  constructor(
    db: Database,
    private readonly pastDays: SqlitePastDays,
  ) {
    this.courses = new SqliteCourses(db);
    this.addTakeup = db.prepare('INSERT INTO takeup (conveyor, takeup) VALUES (@conveyor, @takeup) ON CONFLICT DO NOTHING');
    this.findTakeup = db.prepare<[OfTakeup], number>('SELECT id FROM takeup WHERE conveyor = @conveyor AND takeup = @takeup').pluck();
    this.addEvent = db.prepare(`${insertInto('alarm_event', EVENT_COLUMNS)} ON CONFLICT (id) DO NOTHING`);
    this.putDay = db.prepare(upsert('settled_day', { ...BY_TAKEUP, ...DAY_COLUMNS }, ['takeup_id', 'date']));
    this.putFinding = db.prepare(upsert('finding', FINDING_COLUMNS, ['id']));
    this.putCheckpoint = db.prepare(
      'INSERT OR REPLACE INTO checkpoint (only_one, seq, fingerprint, state) VALUES (1, @seq, @fingerprint, @state)',
    );
    this.selectCheckpoint = db.prepare('SELECT seq, fingerprint, state FROM checkpoint');
    this.putPart = db.prepare(
      `INSERT INTO checkpoint_part (name, state) VALUES (?, ?)
       ON CONFLICT (name) DO UPDATE SET state = excluded.state WHERE state <> excluded.state`,
    );
    this.dropOtherParts = db.prepare('DELETE FROM checkpoint_part WHERE name NOT IN (SELECT value FROM json_each(?))');
    this.selectPart = db.prepare<[string], string>('SELECT state FROM checkpoint_part WHERE name = ?').pluck();
    this.writeAll = db.transaction((outputs: OutputBatch) => this.put(outputs));
  }

  /** @returns the ids of the events that were not known before */
  write(outputs: OutputBatch): readonly string[] {
    return this.writeAll.immediate(outputs);
  }

  checkpoint(): Checkpoint | undefined {
    return this.selectCheckpoint.get();
  }

  checkpointPart(name: string): string | undefined {
    return this.selectPart.get(name);
  }

  private put(outputs: OutputBatch): readonly string[] {
    const { events = [], days = [], findings = [], checkpoint } = outputs;
    const takeupId = this.takeupIds();
    const added = events.filter((event) => this.addEvent.run(eventRow(event)).changes > 0);
    for (const day of days) this.putDay.run({ ...day, takeupId: takeupId(day) });
    this.courses.put(outputs, takeupId);
    for (const finding of findings) this.putFinding.run(findingRow(finding));
    if (checkpoint) this.putState(checkpoint, takeupId);
    return added.map(({ id }) => id);
  }

  private putState({ parts = [], pastDays = [], seq, fingerprint, state }: NewCheckpoint, takeupId: (of: OfTakeup) => number): void {
    this.putCheckpoint.run({ seq, fingerprint, state });
    const names: string[] = [];
    for (const [name, part] of parts) {
      if (part !== undefined) this.putPart.run(name, part);
      names.push(name);
    }
    this.dropOtherParts.run(JSON.stringify(names));
    for (const days of pastDays) this.pastDays.write(days, takeupId(days));
  }

  /** Remembers ids for one transaction only: were it rolled back, a new id would be gone. */
  private takeupIds(): (of: OfTakeup) => number {
    const known = new Map<string, number>();
    return ({ conveyor, takeup }) => {
      const key = `${conveyor}/${takeup}`;
      const id = known.get(key) ?? this.entered({ conveyor, takeup });
      known.set(key, id);
      return id;
    };
  }

  private entered(takeup: OfTakeup): number {
    this.addTakeup.run(takeup);
    return this.findTakeup.get(takeup) as number;
  }
}

function eventRow(event: AlarmEvent): object {
  const { takeup = null, side = null, signal = null, by = null, why = null } = event;
  return { ...event, takeup, side, signal, by, why };
}

function findingRow({ suggestion, ...finding }: FindingOutput): object {
  return { state: null, by: null, ...finding, suggestion: suggestion === undefined ? null : JSON.stringify(suggestion) };
}
