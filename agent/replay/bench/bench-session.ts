import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { setImmediate as breathe } from 'node:timers/promises';
import type { BenchProgress, BenchSettings, RunName } from '../../contract/bench.js';
import type { BenchKept, BenchOpened, BenchOpening, BenchQuestion } from '../../contract/bench-questions.js';
import { parseServiceEntry } from '../../contract/parse-service-entry.js';
import type { ServiceEntry } from '../../contract/service-entry.js';
import { TakelineFault } from '../../process/fault.js';
import { openRecording } from '../../recording/open-recording.js';
import type { OnReject } from '../../recording/reading-batch.js';
import { TimeOrder } from '../../recording/time-order.js';
import { formatFault } from '../../site/format-fault.js';
import { readSite } from '../../site/read-site.js';
import { signalsOf, type Site } from '../../site/site.js';
import { formatTime } from '../../units/time.js';
import { cutRecording } from '../cut-recording.js';
import { importMapFrom, openForeign } from '../open-foreign.js';
import { keepCase } from '../keep-case.js';
import { CASE_FILES } from '../replay-cases.js';
import { BenchRun } from './bench-run.js';
import { differencesOf } from './differences.js';
import { gather, noReadings, noRows, type GatheredRows } from './gathered-rows.js';
import { Spool } from './spool.js';

/** A fixture of our own making is no larger than this. */
const MOST_KEPT_ROWS = 40_000;

/** Readings laid out, and by which signals. */
interface LaidOut {
  readonly spool: Spool;
  readonly names: readonly string[];
  readonly refused: GatheredRows;
}

/** One recording on the bench: its readings laid out, one or two variants run over them, and questions about any instant. */
export class BenchSession {
  private readonly runs = new Map<RunName, BenchRun>();
  private readonly refused = noRows();
  private readonly order: TimeOrder;
  /** Names the run that is wanted: one that was begun before another was asked for gives up. */
  private wanted = 0;
  private closed = false;

  private constructor(
    private readonly opening: BenchOpening,
    private readonly site: Site,
    private readonly siteText: string,
    private readonly serviceText: string,
    private readonly spool: Spool,
    private readonly tell: (progress: BenchProgress) => void,
  ) {
    this.order = new TimeOrder(signalsOf(site).length, (line, reason) => {
      gather(this.refused, { reason, line });
    });
  }

  /**
   * Opens a session. Reading and running go on by themselves, and are told by `tell`.
   * @throws TakelineFault where site or entries cannot be used
   */
  static async open(opening: BenchOpening, tell: (progress: BenchProgress) => void): Promise<BenchSession> {
    const { source, folder } = opening;
    const siteText = source.kind === 'case' ? await readFile(join(source.folder, CASE_FILES.site), 'utf8') : opening.siteText;
    if (siteText === undefined) throw new TakelineFault('bench-no-site', 'The site file is not known here; give its text.');
    const site = siteFrom(siteText, 'site.yaml');
    const serviceText =
      source.kind === 'case'
        ? await readFile(join(source.folder, CASE_FILES.service), 'utf8').catch(() => '')
        : (opening.serviceText ?? '');
    entriesFrom(serviceText, site);
    const session = new BenchSession(opening, site, siteText, serviceText, new Spool(join(folder, 'readings')), tell);
    if (source.kind !== 'fed') void session.readAndRun();
    return session;
  }

  get opened(): BenchOpened {
    return { signals: this.signals, siteText: this.siteText };
  }

  private get signals(): readonly string[] {
    return signalsOf(this.site).map(({ name }) => name);
  }

  /** Answers a question about an open session. @throws TakelineFault for what cannot be answered */
  async answer(question: Exclude<BenchQuestion, { ask: 'open' | 'preview' | 'close' }>): Promise<unknown> {
    switch (question.ask) {
      case 'feed': {
        const { count, timeMs, signal, value } = question.columns;
        for (let i = 0; i < count; i++) this.order.add(timeMs[i] as number, signal[i] as number, value[i] as number, NaN);
        this.refused.rows += count;
        for (const batch of this.order.takeReady()) this.spool.add(batch);
        return null;
      }
      case 'fed':
        this.order.finish();
        for (const batch of this.order.takeReady()) this.spool.add(batch);
        this.spool.finish();
        void this.runAll('a', this.site, this.opening.settings);
        return null;
      case 'second': {
        const { siteText, settings } = question.variant;
        void this.runSecond(siteText === undefined ? this.site : siteFrom(siteText, 'second site'), settings);
        return null;
      }
      case 'result':
        return this.runOf(question.run).result();
      case 'traces': {
        const run = this.runOf(question.run);
        const takeup = this.places.indexOf(`${question.conveyor}/${question.takeup}`);
        if (takeup < 0) throw new TakelineFault('bench-no-takeup', `There is no take-up ${question.takeup} on ${question.conveyor}.`);
        return run.traces(takeup, question.fromMs, question.toMs, question.points);
      }
      case 'moment':
        return this.runOf(question.run).moment(question.timeMs);
      case 'differences':
        return differencesOf(this.runOf('a').result(), this.runOf('b').result());
      case 'keep':
        return this.keep(question);
    }
  }

  /** Gives up what is being read or run. */
  close(): void {
    this.closed = true;
    this.wanted++;
  }

  private get places(): readonly string[] {
    return this.site.conveyors.flatMap(({ id, takeups }) => takeups.map((takeup) => `${id}/${takeup.id}`));
  }

  private runOf(name: RunName): BenchRun {
    const run = this.runs.get(name);
    if (run === undefined) throw new TakelineFault('bench-not-run', 'That has not been run yet; wait, or start it.');
    return run;
  }

  private get laid(): LaidOut {
    return { spool: this.spool, names: this.signals, refused: this.refused };
  }

  private async readAndRun(): Promise<void> {
    try {
      await this.layOut('a', this.site, this.spool, this.refused);
    } catch (error) {
      this.fail('a', error);
      return;
    }
    if (this.closed) return;
    await this.runAll('a', this.site, this.opening.settings);
  }

  /** Reads the recording by the signals of a site and lays its readings out. */
  private async layOut(run: RunName, site: Site, spool: Spool, refused: GatheredRows): Promise<void> {
    const { source } = this.opening;
    const names = signalsOf(site).map(({ name }) => name);
    const refuse: OnReject = (line, reason) => {
      gather(refused, { reason, line });
    };
    const recording =
      source.kind === 'file' && source.mapText !== undefined
        ? openForeign(source.path, importMapFrom(source.mapText, 'mapping', site), site, refuse)
        : openRecording(this.recordingPath, names, refuse);
    for await (const batch of recording) {
      if (this.closed) return;
      spool.add(batch);
      this.tell({ state: 'reading', run, share: recording.share, timeMs: batch.timeMs[batch.count - 1] ?? null });
      await breathe();
    }
    refused.rows = recording.rows;
    spool.finish();
  }

  /** Runs the second variant; where its site has signals that the first has not, the recording is read once more, by them. */
  private async runSecond(site: Site, settings: BenchSettings): Promise<void> {
    const names = signalsOf(site).map(({ name }) => name);
    const lacking = names.filter((name) => !this.signals.includes(name));
    if (lacking.length === 0) return this.runAll('b', site, settings);
    const laid: LaidOut = { spool: new Spool(join(this.opening.folder, `readings-${String(++this.wanted)}`)), names, refused: noRows() };
    try {
      if (this.opening.source.kind === 'fed') {
        const of = lacking.slice(0, 3).join(', ');
        throw new TakelineFault('bench-other-signals', `The history was read without ${of}: put the site in force first, or use a file.`);
      }
      await this.layOut('b', site, laid.spool, laid.refused);
      if (!this.closed) await this.runAll('b', site, settings, laid);
    } catch (error) {
      this.fail('b', error);
    }
  }

  private get recordingPath(): string {
    const { source } = this.opening;
    if (source.kind === 'case') return join(source.folder, CASE_FILES.recording);
    if (source.kind === 'file') return source.path;
    throw new Error('readings that are fed have no file');
  }

  private async runAll(name: RunName, site: Site, settings: BenchSettings, laid: LaidOut = this.laid): Promise<void> {
    const mine = ++this.wanted;
    try {
      const { spool, names: spooled, refused } = laid;
      if (spool.count === 0) throw noReadings(refused);
      const entries = entriesFrom(this.serviceText, site);
      const shelfPath = join(this.opening.folder, `states-${name}-${String(mine)}`);
      const run = new BenchRun({ site, settings, entries, spool, spooled, refused, shelfPath });
      this.runs.get(name)?.close();
      this.runs.set(name, run);
      for (const share of run.run()) {
        this.tell({ state: 'running', run: name, share, timeMs: run.timeMs });
        await breathe();
        if (this.wanted !== mine) return;
      }
      this.tell({ state: 'done', run: name, share: 1, timeMs: run.timeMs });
    } catch (error) {
      this.fail(name, error);
    }
  }

  private fail(run: RunName, error: unknown): void {
    const words = error instanceof TakelineFault ? error.message : `Something went wrong inside the bench: ${String(error)}`;
    this.tell({ state: 'failed', run, share: 0, timeMs: null, words });
  }

  private async keep({ name, teaches, fromMs, toMs, into }: Extract<BenchQuestion, { ask: 'keep' }>): Promise<BenchKept> {
    const recordingText =
      this.opening.source.kind === 'fed' || (this.opening.source.kind === 'file' && this.opening.source.mapText !== undefined)
        ? this.rowsBetween(fromMs, toMs)
        : await cutRecording(this.recordingPath, this.signals, fromMs, toMs);
    const serviceText = this.serviceText
      .split('\n')
      .filter((line) => line.trim() !== '')
      .map((line) => `${line}\n`)
      .join('');
    const parts = { name, siteText: this.siteText, recordingText, serviceText, ...(teaches === undefined ? {} : { teaches }) };
    return keepCase(parts, into).then(({ folder, files }) => ({ folder, files }));
  }

  private rowsBetween(fromMs: number, toMs: number): string {
    const rows = ['time,signal,value'];
    for (let block = this.spool.blockBefore(fromMs); block < this.spool.blocks; block++) {
      const { count, timeMs, signal, value } = this.spool.read(block);
      for (let i = 0; i < count; i++) {
        const at = timeMs[i] as number;
        if (at > toMs) return `${rows.join('\n')}\n`;
        if (at >= fromMs) rows.push(`${formatTime(at)},${this.signals[signal[i] as number] ?? ''},${String(value[i])}`);
        if (rows.length > MOST_KEPT_ROWS) {
          throw new TakelineFault(
            'case-too-large',
            `A fixture holds ${String(MOST_KEPT_ROWS)} readings at most; choose a shorter stretch.`,
          );
        }
      }
    }
    return `${rows.join('\n')}\n`;
  }
}

/** @throws TakelineFault with the first faults of a site file */
export function siteFrom(text: string, name: string): Site {
  const reading = readSite(text, name);
  if (reading.ok) return reading.site;
  const shown = reading.faults.slice(0, 5).map(formatFault).join('\n');
  const more = reading.faults.length > 5 ? `\n… and ${String(reading.faults.length - 5)} more` : '';
  throw new TakelineFault('site-refused', `${shown}${more}`);
}

function entriesFrom(text: string, site: Site): readonly ServiceEntry[] {
  return text.split('\n').flatMap((line, index) => {
    if (line.trim() === '') return [];
    let json: unknown;
    try {
      json = JSON.parse(line);
    } catch {
      throw new TakelineFault('service-entry-refused', `Service entry ${String(index + 1)} is not JSON; one JSON object stands on a line.`);
    }
    const parsed = parseServiceEntry(json, site);
    if (!parsed.ok) throw new TakelineFault('service-entry-refused', `Service entry ${String(index + 1)}: ${parsed.message}`);
    return [parsed.entry];
  });
}
