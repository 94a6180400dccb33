import { setImmediate } from 'node:timers/promises';
import type { Statement } from 'better-sqlite3';
import type { FindingOutput, SettledDayOutput } from '../flow/output.js';
import { AlarmEventQuery } from './alarm-event-query.js';
import { type Nullable, selectList, withNaN, withoutNulls } from './columns.js';
import { type DiskUse, DiskUseQuery } from './disk-use.js';
import { ENTRY_LIST, entryOf, type EntryRow, jsonOf } from './entry-row.js';
import type {
  AlarmFilter,
  AlarmPage,
  AlarmTurnPage,
  FindingFilter,
  History,
  LoggedEntry,
  MinuteQuery,
  SiteVersion,
  SiteVersionHead,
} from './history.js';
import { HistoryQuery } from './history-query.js';
import type { ReadingColumns } from './journal.js';
import type { Migration } from './migrate.js';
import { DAY_COLUMNS, FINDING_COLUMNS } from './output-columns.js';
import { oneOf, StatementCache, valuesOf, where, whereClause } from './query.js';
import { ReadingQuery } from './reading-query.js';
import { RecorderQuery } from './recorder-query.js';
import type { Recorded, RecordedFilter } from './recorder.js';
import { MIGRATIONS } from './schema.js';
import { PositionSeriesQuery } from './series-query.js';
import { ConveyorCourseQueries } from './course-query.js';
import type { ConveyorCourse, ConveyorCourseQuery, PositionSeries, SeriesQuery, SpringSettingRow } from './series.js';
import type { OutboxMessage, PagingPast } from './page-outbox.js';
import { PagingQuery } from './paging-query.js';
import { messageOf, OUTBOX_SELECT } from './sqlite-pages.js';
import { openForReading, type SqliteFile } from './sqlite-file.js';
import { asStoreFault } from './store-fault.js';
import type { StoreReader } from './store.js';

export interface SqliteReaderOptions {
  readonly dataDir: string;
  /** The schema's history; a test may hand in one of its own. */
  readonly migrations?: readonly Migration[];
}

/**
 * Opens the store of a data folder for reading, beside a running agent or without one, in the same process or another.
 *
 * @throws TakelineFault, by rejection, where there is no store yet, it is not of this version, is damaged or cannot be read
 */
export function openSqliteReader(options: SqliteReaderOptions): Promise<StoreReader> {
  return new Promise((resolve) => {
    const file = openForReading(options.dataDir, options.migrations ?? MIGRATIONS);
    try {
      resolve(new SqliteReader(file));
    } catch (error) {
      file.close();
      throw asStoreFault(file.path, 'read', error);
    }
  });
}

type DayRow = Nullable<Omit<SettledDayOutput, 'kind' | 'conveyor' | 'takeup'>>;
type FindingRow = Omit<FindingOutput, 'suggestion' | 'state' | 'by'> & {
  readonly suggestion: string | null;
  readonly state: 'explained' | 'rejected' | null;
  readonly by: string | null;
};

class SqliteReader implements StoreReader {
  private readonly statements: StatementCache;
  private readonly alarms: AlarmEventQuery;
  private readonly history: HistoryQuery;
  private readonly series: PositionSeriesQuery;
  private readonly courses: ConveyorCourseQueries;
  private readonly recorder: RecorderQuery;
  private readonly journal: ReadingQuery;
  private readonly pages: PagingQuery;
  private readonly selectDays: Statement<[object], DayRow>;
  private readonly selectSite: Statement<[number], Nullable<SiteVersion>>;
  private readonly selectSites: Statement<[], Nullable<SiteVersionHead>>;

  constructor(private readonly file: SqliteFile) {
    const { db } = file;
    this.statements = new StatementCache(db);
    this.alarms = new AlarmEventQuery(db);
    this.history = new HistoryQuery(db);
    this.recorder = new RecorderQuery(db);
    this.series = new PositionSeriesQuery(db);
    this.courses = new ConveyorCourseQueries(db);
    this.journal = new ReadingQuery(db);
    this.pages = new PagingQuery(db);
    this.selectDays = db.prepare(
      `SELECT ${selectList(DAY_COLUMNS)} FROM settled_day
       WHERE takeup_id = (SELECT id FROM takeup WHERE conveyor = @conveyor AND takeup = @takeup) AND date BETWEEN @fromDate AND @toDate
       ORDER BY date`,
    );
    this.selectSite = db.prepare('SELECT time_ms AS timeMs, by_whom AS "by", why, text FROM site_version WHERE nr = ?');
    this.selectSites = db.prepare('SELECT nr, time_ms AS timeMs, by_whom AS "by", why FROM site_version ORDER BY nr DESC');
  }

  settledDays(conveyor: string, takeup: string, fromDate: string, toDate: string): Promise<readonly SettledDayOutput[]> {
    return this.file.attempt(() =>
      this.selectDays
        .all({ conveyor, takeup, fromDate, toDate })
        .map((row) => ({ kind: 'settled-day', conveyor, takeup, ...withNaN<Omit<SettledDayOutput, 'kind' | 'conveyor' | 'takeup'>>(row) })),
    );
  }

  minutes(query: MinuteQuery): Promise<History> {
    return this.file.attempt(() => this.history.read(query));
  }

  positionSeries(query: SeriesQuery): Promise<PositionSeries> {
    return this.file.attempt(() => this.series.read(query));
  }

  conveyorCourse(query: ConveyorCourseQuery): Promise<ConveyorCourse> {
    return this.file.attempt(() => this.courses.read(query));
  }

  springSettings(conveyor: string, takeup: string, toMs: number): Promise<readonly SpringSettingRow[]> {
    return this.file.attempt(() => this.courses.springs(conveyor, takeup, toMs));
  }

  alarmEvents(filter: AlarmFilter): Promise<AlarmPage> {
    return this.file.attempt(() => this.alarms.page(filter));
  }

  alarmTurns(filter: Parameters<StoreReader['alarmTurns']>[0]): Promise<AlarmTurnPage> {
    return this.file.attempt(() => this.alarms.turns(filter));
  }

  entries(conveyor?: string, takeup?: string): Promise<readonly LoggedEntry[]> {
    const conditions = [
      ...where('conveyor = @conveyor', 'conveyor', conveyor),
      ...where('(takeup = @takeup OR takeup IS NULL)', 'takeup', takeup),
    ];
    const sql = `SELECT ${ENTRY_LIST} FROM service_entry${whereClause(conditions)} ORDER BY time_ms, seq`;
    return this.file.attempt(() => this.statements.of<EntryRow>(sql).all(valuesOf(conditions)).map(entryOf));
  }

  findings(filter: FindingFilter): Promise<readonly FindingOutput[]> {
    const conditions = [
      ...where('time_ms >= @fromMs', 'fromMs', filter.fromMs),
      ...where('time_ms < @toMs', 'toMs', filter.toMs),
      ...where('conveyor = @conveyor', 'conveyor', filter.conveyor),
      ...where('takeup = @takeup', 'takeup', filter.takeup),
      ...oneOf('finding', 'findings', filter.findings),
    ];
    const sql = `SELECT ${selectList(FINDING_COLUMNS)} FROM finding${whereClause(conditions)} ORDER BY time_ms DESC, id`;
    return this.file.attempt(() => this.statements.of<FindingRow>(sql).all(valuesOf(conditions)).map(findingOf));
  }

  signalNames(): Promise<readonly string[]> {
    return this.file.attempt(() => this.file.db.prepare<[], string>('SELECT name FROM signal ORDER BY id').pluck().all());
  }

  async *readings(signals: readonly string[], fromMs: number, toMs: number): AsyncGenerator<ReadingColumns> {
    const places = await this.file.attempt(() => this.journal.placesOf(signals));
    const stretches = this.journal.stretches(places, { fromMs, toMs });
    const next = () => this.file.attempt(() => stretches.next());
    for (let page = await next(); page.done !== true; page = await next()) {
      yield page.value;
      // Whoever reads years leaves others their turn.
      await setImmediate();
    }
  }

  recorded(filter: RecordedFilter): Promise<readonly Recorded[]> {
    return this.file.attempt(() => this.recorder.list(filter));
  }

  siteVersions(): Promise<readonly SiteVersionHead[]> {
    return this.file.attempt(() => this.selectSites.all().map((row) => withoutNulls<SiteVersionHead>(row)));
  }

  siteVersion(nr: number): Promise<SiteVersion | undefined> {
    return this.file.attempt(() => {
      const row = this.selectSite.get(nr);
      return row && withoutNulls<SiteVersion>(row);
    });
  }

  pageMessages(limit: number): Promise<readonly OutboxMessage[]> {
    const sql = `${OUTBOX_SELECT} ORDER BY nr DESC LIMIT @limit`;
    return this.file.attempt(() => this.statements.of<Nullable<OutboxMessage>>(sql).all({ limit }).map(messageOf));
  }

  paging(fromMs: number): Promise<PagingPast> {
    return this.file.attempt(() => this.pages.since(fromMs));
  }

  diskBytes(): Promise<number> {
    return this.file.attempt(() => this.file.bytes());
  }

  diskUse(): Promise<DiskUse> {
    return this.file.attempt(() => new DiskUseQuery(this.file.db).read(this.file.bytes(), this.file.freeBytes()));
  }

  /** Closing twice is harmless to SQLite too. */
  stop(): Promise<void> {
    return this.file.attempt(() => this.file.close());
  }
}

function findingOf({ suggestion, state, by, ...row }: FindingRow): FindingOutput {
  return {
    ...row,
    kind: 'finding',
    ...(suggestion === null ? {} : { suggestion: jsonOf(suggestion) }),
    ...(state === null ? {} : { state }),
    ...(by === null ? {} : { by }),
  };
}
