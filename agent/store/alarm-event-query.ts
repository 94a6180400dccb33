import type { Database, Statement, Transaction } from 'better-sqlite3';
import { type Nullable, selectList, withoutNulls } from './columns.js';
import type { AlarmCursor, AlarmEvent, AlarmFilter, AlarmPage, AlarmTurn, AlarmTurnPage } from './history.js';
import { EVENT_COLUMNS } from './output-columns.js';
import { type Condition, oneOf, StatementCache, valuesOf, where, whereClause } from './query.js';

type Plain = Omit<AlarmEvent, 'kind' | 'value' | 'limit'>;
export type EventRow = Nullable<Plain> & Pick<AlarmEvent, 'value' | 'limit'>;

const SELECT = `SELECT ${selectList(EVENT_COLUMNS)} FROM alarm_event`;
const LATEST_FIRST = 'ORDER BY time_ms DESC, nr DESC LIMIT @rows';
const EARLIEST_FIRST = 'ORDER BY time_ms, nr LIMIT @rows';

/** Columns of a turn, with its place, in the order in which `turnOf` reads them. */
const TURN = `SELECT time_ms, nr, conveyor, takeup, signal, alarm, priority, change, from_state, to_state FROM alarm_event
  WHERE time_ms < ? AND (time_ms, nr) < (?, ?) ORDER BY time_ms DESC, nr DESC LIMIT ?`;
type TurnRow = readonly [
  timeMs: number,
  nr: number,
  conveyor: string,
  takeup: string | null,
  signal: string | null,
  alarm: AlarmTurn['alarm'],
  priority: AlarmTurn['priority'],
  change: AlarmTurn['change'],
  from: AlarmTurn['from'],
  to: AlarmTurn['to'],
];

/** Lists alarm events by page. */
export class AlarmEventQuery {
  private readonly statements: StatementCache;
  private readonly place: Statement<[string], AlarmCursor>;
  private readonly selectTurns: Statement<[number, number, number, number], TurnRow>;
  private readonly pageAndTotal: Transaction<(filter: AlarmFilter) => AlarmPage>;

  constructor(db: Database) {
    this.statements = new StatementCache(db);
    this.place = db.prepare('SELECT time_ms AS timeMs, nr FROM alarm_event WHERE id = ?');
    this.selectTurns = db.prepare<[number, number, number, number], TurnRow>(TURN).raw();
    // One look at the store, so that total and page belong together.
    this.pageAndTotal = db.transaction((filter: AlarmFilter) => this.read(filter));
  }

  /** @throws RangeError where `limit` is no whole number from 1 on */
  page(filter: AlarmFilter): AlarmPage {
    if (!Number.isInteger(filter.limit) || filter.limit < 1) throw new RangeError(`a page cannot have ${filter.limit} events`);
    return this.pageAndTotal(filter);
  }

  /** @throws RangeError where `limit` is no whole number from 1 on */
  turns({ toMs, before, limit }: { readonly toMs: number; readonly before?: AlarmCursor; readonly limit: number }): AlarmTurnPage {
    if (!Number.isInteger(limit) || limit < 1) throw new RangeError(`a page cannot have ${limit} events`);
    const rows = this.selectTurns.all(toMs, before?.timeMs ?? toMs, before?.nr ?? 0, limit + 1);
    const last = rows.length > limit ? rows[limit - 1] : undefined;
    if (last !== undefined) rows.pop();
    return { turns: rows.map(turnOf), ...(last && { next: { timeMs: last[0], nr: last[1] } }) };
  }

  private read(filter: AlarmFilter): AlarmPage {
    const all = conditionsOf(filter);
    const total = this.statements.of<{ total: number }>(`SELECT count(*) AS total FROM alarm_event${whereClause(all)}`).get(valuesOf(all));
    const forward = filter.order === 'earliest-first';
    const from = forward ? filter.after : filter.before;
    const page = [...all, ...where(`(time_ms, nr) ${forward ? '>' : '<'} (@placeMs, @placeNr)`, 'placeMs', from?.timeMs)];
    const values = { ...valuesOf(page), placeNr: from?.nr ?? 0, rows: filter.limit + 1 };
    const rows = this.statements.of<EventRow>(`${SELECT}${whereClause(page)} ${forward ? EARLIEST_FIRST : LATEST_FIRST}`).all(values);
    const events = rows.slice(0, filter.limit).map(eventOf);
    const next = rows.length > events.length ? this.place.get(events.at(-1)?.id ?? '') : undefined;
    return { events, total: total?.total ?? 0, ...(next && { next }) };
  }
}

/** Written out field by field: there may be a hundred thousand. */
function turnOf([timeMs, , conveyor, takeup, signal, alarm, priority, change, from, to]: TurnRow): AlarmTurn {
  const turn: { -readonly [Field in keyof AlarmTurn]: AlarmTurn[Field] } = { timeMs, conveyor, alarm, priority, change, from, to };
  if (takeup !== null) turn.takeup = takeup;
  if (signal !== null) turn.signal = signal;
  return turn;
}

function conditionsOf(filter: AlarmFilter): readonly Condition[] {
  return [
    ...where('time_ms >= @fromMs', 'fromMs', filter.fromMs),
    ...where('time_ms < @toMs', 'toMs', filter.toMs),
    ...where('conveyor = @conveyor', 'conveyor', filter.conveyor),
    ...where('takeup = @takeup', 'takeup', filter.takeup),
    ...oneOf('alarm', 'alarms', filter.alarms),
    ...oneOf('priority', 'priorities', filter.priorities),
    ...oneOf('change', 'changes', filter.changes),
  ];
}

/** Fields that do not apply are absent; a value or limit that there is none of stays null. */
export function eventOf({ value, limit, ...row }: EventRow): AlarmEvent {
  return { kind: 'alarm', ...withoutNulls<Plain>(row), value, limit };
}
