import type { FindingOutput, SettledDayOutput } from '../flow/output.js';
import type {
  AlarmFilter,
  AlarmPage,
  AlarmTurnPage,
  FindingFilter,
  History,
  LoggedEntry,
  MinuteQuery,
  OutputBatch,
  SiteVersion,
  SiteVersionHead,
} from './history.js';
import type { DiskUse, Retention } from './disk-use.js';
import type { Recorded, RecordedFilter } from './recorder.js';
import type { ConveyorCourse, ConveyorCourseQuery, PositionSeries, SeriesQuery, SpringSettingRow } from './series.js';
import type { OutboxMessage, PageStore, PagingPast } from './page-outbox.js';
import type { Appended, Checkpoint, JournalInput, JournalItem, PastDaysReader, ReadingColumns } from './journal.js';

/**
 * The agent's side of the store. There is one writer of a store at any time. Whatever a promise says is written is durable, also
 * through a power cut. A failure of the disk rejects with a `TakelineFault`, and then nothing of the call is kept.
 */
export interface StoreWriter {
  /** Sequence number of the last thing journalled; 0 before the first. */
  readonly lastSeq: number;

  /** Pages and their state, a part of the same store. */
  readonly pages: PageStore;

  /**
   * Journals readings as they were taken, all or none.
   *
   * @param batch - `signal` indexes the names that the store was opened with
   * @returns the sequence number of the last one; that of the journal for an empty batch
   * @throws RangeError where an index names no signal
   */
  appendReadings(batch: ReadingColumns): Promise<number>;

  /** Journals a service entry or an operator's action, in one sequence with the readings. An entry is in the service log from then on. */
  appendInput(input: JournalInput): Promise<Appended>;

  /**
   * Moves readings that the checkpoint covers out of the journal's rows into compressed blocks, in steps of a few ms: call again while it
   * gives true. The last twenty thousand stay rows.
   *
   * @returns whether there is more to do at once
   */
  compactReadings(): Promise<boolean>;

  /** What was journalled after `afterSeq` and is not yet in blocks, in order, to the end of the journal as it is when that is reached. */
  readJournal(afterSeq: number): AsyncIterable<JournalItem>;

  /**
   * Lets old raw readings go, a little at a time so that nobody waits long: call again until it gives 0. One device whose clock is wrong
   * neither keeps the others' for ever nor empties the journal. What the checkpoint does not cover stays, and so does, for good, what
   * was read around an alarm that rose, a finding or work on the take-up.
   *
   * @returns how many readings were looked through
   */
  trimReadings(beforeMs: number): Promise<number>;

  /** Lets minutes older than a time go, some thousand at a time: call again until it gives 0. Their hours and days stay. */
  trimMinutes(beforeMs: number): Promise<number>;

  /**
   * Lets the oldest go where the store holds more than so many bytes, a little at a time: raw readings first, then minutes, then raw
   * readings around what happened. Days, alarm events, findings and entries always stay.
   *
   * @returns whether there may be more to do: call again until it gives false
   */
  makeRoom(maxBytes: number): Promise<boolean>;

  /** The saved state, whatever site it belongs to; undefined before the first. */
  loadCheckpoint(): Promise<Checkpoint | undefined>;

  /** A part of the saved state; undefined where the last checkpoint has none of that name. */
  loadCheckpointPart(name: string): Promise<string | undefined>;

  /** Where the past days of a take-up are read. @throws TakelineFault, from what reads them, where the file cannot be read */
  pastDays(conveyor: string, takeup: string): PastDaysReader;

  /**
   * Writes outputs, and the checkpoint that they belong to, in one transaction. A known event is left as it is; days, minutes and
   * findings take the place of those of the same name.
   *
   * @returns the ids of the events that were not known before, in their order
   */
  writeOutputs(outputs: OutputBatch): Promise<readonly string[]>;

  /** Keeps a site file's text. @returns whether it differs from the last one, and so is a version of its own */
  recordSite(version: SiteVersion): Promise<boolean>;

  /** Keeps for how long history is kept, for whoever shows what the store takes. */
  recordRetention(retention: Retention): Promise<void>;

  /** Lets go of the store. Stopping twice is harmless. */
  stop(): Promise<void>;
}

/** The web's side of the store: sees what the agent has written up to the call. */
export interface StoreReader {
  /** Rows of a take-up, both dates (`YYYY-MM-DD`) included, in order. */
  settledDays(conveyor: string, takeup: string, fromDate: string, toDate: string): Promise<readonly SettledDayOutput[]>;

  /** History of a take-up from minutes to years: every bucket keeps its extremes. @throws RangeError where `maxPoints` is below 2 */
  minutes(query: MinuteQuery): Promise<History>;

  /**
   * A take-up's position for a picture of so many pixels, from the coarsest roll-up that is still finer than one.
   * @throws RangeError where `px` is below 2 or the time zone is none
   */
  positionSeries(query: SeriesQuery): Promise<PositionSeries>;

  /**
   * Temperatures of a conveyor and when it ran, in points of a given width, from the coarsest roll-up that is finer.
   * @throws RangeError where the width is no whole number of ms above 0
   */
  conveyorCourse(query: ConveyorCourseQuery): Promise<ConveyorCourse>;

  /** How the springs of a take-up were followed, in order of time, from the last setting before `toMs` back to the first. */
  springSettings(conveyor: string, takeup: string, toMs: number): Promise<readonly SpringSettingRow[]>;

  /** A page of alarm events, latest first unless asked otherwise. @throws RangeError where `limit` is below 1 */
  alarmEvents(filter: AlarmFilter): Promise<AlarmPage>;

  /** A page of what happened to all alarms before a time, latest first: the lean kind, for figures of many. @throws RangeError where `limit` is below 1 */
  alarmTurns(filter: Pick<AlarmFilter, 'before' | 'limit'> & { readonly toMs: number }): Promise<AlarmTurnPage>;

  /** The service log in order of time; a take-up's has the entries for its whole conveyor among its own. */
  entries(conveyor?: string, takeup?: string): Promise<readonly LoggedEntry[]>;

  /** Findings, latest known first. */
  findings(filter: FindingFilter): Promise<readonly FindingOutput[]>;

  /** Names of all signals of which there are or were readings, those of earlier site files among them. */
  signalNames(): Promise<readonly string[]>;

  /**
   * Raw readings of some signals with `fromMs` ≤ time < `toMs`, in order of time, however long ago they were taken. Late ones stand
   * where they belong.
   *
   * @param signals - names; `signal` of what comes indexes them
   */
  readings(signals: readonly string[], fromMs: number, toMs: number): AsyncIterable<ReadingColumns>;

  /** Stretches whose raw readings are kept for good, latest first. @throws RangeError where `limit` is below 1 */
  recorded(filter: RecordedFilter): Promise<readonly Recorded[]>;

  /** Every version of the site file, latest first. */
  siteVersions(): Promise<readonly SiteVersionHead[]>;

  siteVersion(nr: number): Promise<SiteVersion | undefined>;

  /** The last pages, latest first: delivered, waiting or given up. */
  pageMessages(limit: number): Promise<readonly OutboxMessage[]>;

  /** What paging has done since a time on the machine's clock. */
  paging(fromMs: number): Promise<PagingPast>;

  /** What the store takes on the disk, in bytes. */
  diskBytes(): Promise<number>;

  /** What the store takes on the disk, by kind. */
  diskUse(): Promise<DiskUse>;

  /** Lets go of the store. Stopping twice is harmless. */
  stop(): Promise<void>;
}
