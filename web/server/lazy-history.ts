import { TakelineFault } from '../../agent/process/fault.js';
import type { StoreReader } from '../../agent/store/store.js';
import { ProblemError } from './logic/problem.js';

/** The part of the store that the screens read. */
export type HistoryReader = Pick<
  StoreReader,
  | 'settledDays'
  | 'minutes'
  | 'positionSeries'
  | 'conveyorCourse'
  | 'recorded'
  | 'diskUse'
  | 'alarmEvents'
  | 'alarmTurns'
  | 'entries'
  | 'findings'
  | 'siteVersions'
  | 'siteVersion'
  | 'paging'
>;

/**
 * The past, opened when it is first asked for: the web server may start before the agent has made a store, and goes on
 * showing the present where the past cannot be read.
 */
export class LazyHistory implements HistoryReader {
  private opened: Promise<StoreReader> | undefined;

  constructor(private readonly open: () => Promise<StoreReader>) {}

  readonly settledDays: HistoryReader['settledDays'] = (...query) => this.ask((reader) => reader.settledDays(...query));
  readonly minutes: HistoryReader['minutes'] = (query) => this.ask((reader) => reader.minutes(query));
  readonly positionSeries: HistoryReader['positionSeries'] = (query) => this.ask((reader) => reader.positionSeries(query));
  readonly conveyorCourse: HistoryReader['conveyorCourse'] = (query) => this.ask((reader) => reader.conveyorCourse(query));
  readonly recorded: HistoryReader['recorded'] = (filter) => this.ask((reader) => reader.recorded(filter));
  readonly diskUse: HistoryReader['diskUse'] = () => this.ask((reader) => reader.diskUse());
  readonly alarmEvents: HistoryReader['alarmEvents'] = (filter) => this.ask((reader) => reader.alarmEvents(filter));
  readonly alarmTurns: HistoryReader['alarmTurns'] = (filter) => this.ask((reader) => reader.alarmTurns(filter));
  readonly entries: HistoryReader['entries'] = (...query) => this.ask((reader) => reader.entries(...query));
  readonly findings: HistoryReader['findings'] = (filter) => this.ask((reader) => reader.findings(filter));
  readonly siteVersions: HistoryReader['siteVersions'] = () => this.ask((reader) => reader.siteVersions());
  readonly siteVersion: HistoryReader['siteVersion'] = (nr) => this.ask((reader) => reader.siteVersion(nr));
  readonly paging: HistoryReader['paging'] = (fromMs) => this.ask((reader) => reader.paging(fromMs));

  async stop(): Promise<void> {
    const { opened } = this;
    this.opened = undefined;
    const reader = await opened?.catch(() => undefined);
    await reader?.stop();
  }

  private async ask<T>(question: (reader: StoreReader) => Promise<T>): Promise<T> {
    try {
      return await question(await this.reader());
    } catch (error) {
      if (error instanceof TakelineFault) throw new ProblemError('no-history', error.message);
      throw error;
    }
  }

  /** One opening for all who ask meanwhile; one that failed is tried again by the next. */
  private reader(): Promise<StoreReader> {
    this.opened ??= this.open().catch((error: unknown) => {
      this.opened = undefined;
      throw error;
    });
    return this.opened;
  }
}
