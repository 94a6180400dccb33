import { randomUUID } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { mkdir, readdir, readFile, rm } from 'node:fs/promises';
import { basename, join } from 'node:path';
import type { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import type { BenchProgress, BenchSettings, ForeignPreview } from '../../../agent/contract/bench.js';
import type { BenchKept, BenchOpened, BenchQuestion, BenchSource } from '../../../agent/contract/bench-questions.js';
import { sayWhy } from '../../../agent/process/say-why.js';
import type { StoreReader } from '../../../agent/store/store.js';
import { ProblemError } from '../logic/problem.js';
import type { BenchAsked, BenchSessionAnswer, FixtureAnswer } from './bench-answers.js';
import { limitedUpload } from './limited-upload.js';
import { WorkerLink } from './worker-link.js';

export interface BenchDeskParts {
  /** Recordings sent in, and what a replay lays out on the disk, are kept below it while they are needed; fixtures for good. */
  readonly dataDir: string;
  /** Folders of fixtures that come with the program. */
  readonly fixtureDirs: readonly string[];
  /** The site file's text; undefined where it is not known. */
  readonly siteText: () => Promise<string | undefined>;
  readonly openHistory: () => Promise<StoreReader>;
  readonly workerFile: URL;
}

interface Session {
  readonly id: string;
  readonly by: string;
  readonly name: string;
  readonly folder: string;
  readonly link: WorkerLink;
  readonly ofThisSite: boolean;
  opened: BenchOpened | undefined;
  progress: BenchProgress;
  usedMs: number;
}

const MOST_SESSIONS = 2;
const MOST_UPLOADS = 4;
/** A session that nobody asks anything of is put away. */
const IDLE_MS = 30 * 60_000;
const LONGEST_STRETCH_MS = 400 * 24 * 3600_000;
const NAME = /^[a-z0-9][a-z0-9-]{0,63}$/;

/** The sessions of the bench: opened, asked, closed; and the recordings that were sent in for them. */
export class BenchDesk {
  private readonly sessions = new Map<string, Session>();
  private readonly uploads = new Map<string, { readonly path: string; readonly name: string }>();
  private readonly work: string;
  private readonly kept: string;

  constructor(
    private readonly parts: BenchDeskParts,
    private readonly nowMs: () => number,
  ) {
    this.work = join(parts.dataDir, 'bench');
    this.kept = join(parts.dataDir, 'fixtures');
  }

  /** What an earlier run of the server left behind goes. */
  async start(): Promise<void> {
    await rm(this.work, { recursive: true, force: true });
  }

  async stop(): Promise<void> {
    await Promise.all([...this.sessions.keys()].map((id) => this.close(id)));
    await rm(this.work, { recursive: true, force: true });
  }

  /** Fixtures that came with the program, and those kept here. */
  async fixtures(): Promise<readonly FixtureAnswer[]> {
    const found = await Promise.all([...this.parts.fixtureDirs, this.kept].map((dir) => fixturesIn(dir)));
    return found.flat().map(({ name, about }) => ({ name, about }));
  }

  /** Takes a recording in, as a file for a session. @throws ProblemError where it is too large or the disk is full */
  async takeIn(name: string, body: Readable): Promise<string> {
    const id = randomUUID();
    const path = join(this.work, `upload-${id}-${safeName(name)}`);
    await mkdir(this.work, { recursive: true });
    try {
      await pipeline(body, limitedUpload(this.work), createWriteStream(path, { flags: 'wx' }));
    } catch (error) {
      await rm(path, { force: true });
      if (error instanceof ProblemError) throw error;
      throw new ProblemError('bench-refused', `The recording could not be taken in: ${sayWhy(error)}.`);
    }
    this.uploads.set(id, { path, name });
    for (const [old, upload] of [...this.uploads].slice(0, -MOST_UPLOADS)) {
      this.uploads.delete(old);
      await rm(upload.path, { force: true });
    }
    return id;
  }

  /** How the beginning of a recording that was sent in reads by a mapping. @throws ProblemError where it is not here any more */
  async preview(upload: string, mapText: string | undefined, siteText: string | undefined): Promise<ForeignPreview> {
    const found = this.uploads.get(upload);
    if (found === undefined) throw new ProblemError('not-found', 'That recording is not here any more; send it again.');
    const site = siteText ?? (await this.parts.siteText());
    if (site === undefined) throw new ProblemError('bench-refused', 'The site file is not known to this server; give its text.');
    const folder = join(this.work, randomUUID());
    await mkdir(folder, { recursive: true });
    const link = new WorkerLink(this.parts.workerFile, () => undefined);
    try {
      const map = mapText === undefined ? {} : { mapText };
      return await link.ask<ForeignPreview>({ ask: 'preview', path: found.path, siteText: site, folder, ...map });
    } finally {
      await link.stop();
      await rm(folder, { recursive: true, force: true });
    }
  }

  /** Opens a session for a person; one that they had open is closed. */
  async open(by: string, asked: BenchAsked, settings: BenchSettings): Promise<BenchSessionAnswer> {
    await this.makeRoom(by);
    const { source, name, siteText, serviceText } = await this.sourceOf(asked);
    const id = randomUUID();
    const folder = join(this.work, id);
    await mkdir(folder, { recursive: true });
    const progress: BenchProgress = { state: 'reading', run: 'a', share: 0, timeMs: null };
    const link = new WorkerLink(this.parts.workerFile, (told) => {
      // Where it lies here says nothing to whoever sent it in.
      session.progress = source.kind === 'file' && told.words ? { ...told, words: told.words.replaceAll(source.path, name) } : told;
    });
    const ofThisSite = source.kind !== 'case' && asked.siteText === undefined;
    const session: Session = { id, by, name, folder, link, ofThisSite, opened: undefined, progress, usedMs: this.nowMs() };
    this.sessions.set(id, session);
    try {
      const texts = { ...(siteText === undefined ? {} : { siteText }), ...(serviceText === undefined ? {} : { serviceText }) };
      session.opened = await link.ask<BenchOpened>({ ask: 'open', opening: { source, folder, settings, ...texts } });
    } catch (error) {
      await this.close(id);
      throw error;
    }
    if (asked.source.kind === 'history') void this.feed(session, asked.source.fromMs, asked.source.toMs);
    return this.answer(session);
  }

  /** @throws ProblemError where the person has no such session */
  status(by: string, id: string): BenchSessionAnswer {
    return this.answer(this.of(by, id));
  }

  /** @throws ProblemError where the person has no such session, or the worker refuses */
  ask<T>(by: string, id: string, question: BenchQuestion): Promise<T> {
    return this.of(by, id).link.ask<T>(question);
  }

  keep(by: string, id: string, stretch: { name: string; teaches?: string; fromMs: number; toMs: number }): Promise<BenchKept> {
    return this.ask<BenchKept>(by, id, { ask: 'keep', ...stretch, into: this.kept });
  }

  async close(id: string): Promise<void> {
    const session = this.sessions.get(id);
    this.sessions.delete(id);
    await session?.link.stop();
    if (session !== undefined) await rm(session.folder, { recursive: true, force: true });
  }

  async closeFor(by: string, id: string): Promise<void> {
    await this.close(this.of(by, id).id);
  }

  private of(by: string, id: string): Session {
    const session = this.sessions.get(id);
    if (session?.by !== by) throw new ProblemError('not-found', 'That recording is not open any more; open it again.');
    session.usedMs = this.nowMs();
    return session;
  }

  private answer({ id, name, opened, progress, ofThisSite }: Session): BenchSessionAnswer {
    return { id, name, progress, siteText: opened?.siteText ?? '', ofThisSite };
  }

  private async makeRoom(by: string): Promise<void> {
    const idleBefore = this.nowMs() - IDLE_MS;
    const done = [...this.sessions.values()].filter((session) => session.by === by || session.usedMs < idleBefore);
    await Promise.all(done.map(({ id }) => this.close(id)));
    if (this.sessions.size >= MOST_SESSIONS) {
      const others = [...this.sessions.values()].map((session) => session.by).join(' and ');
      throw new ProblemError('bench-busy', `The bench is in use by ${others}; ask them to close it, or wait.`);
    }
  }

  private async sourceOf(asked: BenchAsked): Promise<{
    readonly source: BenchSource;
    readonly name: string;
    readonly siteText?: string;
    readonly serviceText?: string;
  }> {
    const { source } = asked;
    if (source.kind === 'fixture') {
      const found = (await Promise.all([this.kept, ...this.parts.fixtureDirs].map((dir) => fixturesIn(dir)))).flat();
      const fixture = found.find(({ name }) => name === source.name);
      if (fixture === undefined) throw new ProblemError('not-found', `There is no fixture ${source.name}.`);
      return { source: { kind: 'case', folder: fixture.folder }, name: source.name };
    }
    const siteText = asked.siteText ?? (await this.parts.siteText());
    if (siteText === undefined)
      throw new ProblemError('bench-refused', 'The site file is not known to this server; give its text beside the recording.');
    const texts = { siteText, ...(asked.serviceText === undefined ? {} : { serviceText: asked.serviceText }) };
    if (source.kind === 'history') {
      if (!(source.toMs > source.fromMs) || source.toMs - source.fromMs > LONGEST_STRETCH_MS)
        throw new ProblemError(
          'bad-request',
          'A stretch of the history goes from an earlier to a later time, and is 400 days long at most.',
        );
      return { source: { kind: 'fed' }, name: 'from the history', ...texts, serviceText: await this.entriesUntil(source.toMs) };
    }
    const upload = this.uploads.get(source.upload);
    if (upload === undefined) throw new ProblemError('not-found', 'That recording is not here any more; send it again.');
    const map = source.mapText === undefined ? {} : { mapText: source.mapText };
    return { source: { kind: 'file', path: upload.path, ...map }, name: upload.name, ...texts };
  }

  private async entriesUntil(toMs: number): Promise<string> {
    const reader = await this.parts.openHistory();
    try {
      const entries = await reader.entries();
      return entries
        .filter(({ takenMs, timeMs }) => Math.min(takenMs, timeMs) <= toMs)
        .map(({ id, body }) => `${JSON.stringify({ ...body, id })}\n`)
        .join('');
    } finally {
      await reader.stop();
    }
  }

  /** Hands the history over a page at a time; the worker's answer to each is what is waited for, so neither runs ahead. */
  private async feed(session: Session, fromMs: number, toMs: number): Promise<void> {
    try {
      const reader = await this.parts.openHistory();
      try {
        for await (const { count, timeMs, signal, value } of reader.readings(session.opened?.signals ?? [], fromMs, toMs)) {
          await session.link.ask({ ask: 'feed', columns: { count, timeMs, signal, value } });
          const last = timeMs[count - 1] ?? fromMs;
          session.progress = { state: 'reading', run: 'a', share: (last - fromMs) / (toMs - fromMs), timeMs: last };
        }
      } finally {
        await reader.stop();
      }
      await session.link.ask({ ask: 'fed' });
    } catch (error) {
      if (!this.sessions.has(session.id)) return;
      const words = error instanceof Error ? error.message : String(error);
      session.progress = { state: 'failed', run: 'a', share: 0, timeMs: null, words: `The history could not be read: ${words}` };
    }
  }
}

async function fixturesIn(dir: string): Promise<readonly { name: string; folder: string; about: string }[]> {
  const entries = await readdir(dir, { withFileTypes: true }).catch(() => []);
  const folders = entries
    .filter((entry) => entry.isDirectory() && NAME.test(entry.name))
    .map(({ name }) => ({ name, folder: join(dir, name) }));
  const read = await Promise.all(
    folders.map(async (one) => ({ ...one, about: await readFile(join(one.folder, 'about.md'), 'utf8').catch(() => '') })),
  );
  return read.filter(({ about }) => about !== '').toSorted((a, b) => (a.name < b.name ? -1 : 1));
}

/** The name only says by its ending what the file is. */
function safeName(name: string): string {
  return basename(name)
    .replaceAll(/[^A-Za-z0-9._-]/g, '-')
    .slice(-80);
}
