import { constants } from 'node:fs';
import { mkdir, open } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { Type } from 'typebox';
import { Compile } from 'typebox/compile';
import { TakelineFault } from '../../../agent/process/fault.js';
import { readIfThere } from '../../../agent/process/private-file.js';
import { OWN_ALARMS, type SilenceEvent } from '../logic/own-alarm.js';

const STATE = Type.Enum(['normal', 'unacknowledged', 'acknowledged', 'returned-unacknowledged']);
const EVENT = Compile(
  Type.Object({
    id: Type.String(),
    kind: Type.Literal('alarm'),
    timeMs: Type.Number(),
    alarm: Type.Enum([...OWN_ALARMS]),
    priority: Type.Enum(['high', 'urgent']),
    change: Type.Enum(['raised', 'cleared', 'acknowledged']),
    from: STATE,
    to: STATE,
    value: Type.Number(),
    limit: Type.Number(),
    unit: Type.String(),
    by: Type.Optional(Type.String()),
  }),
);

const LINE_END = '\n';
const ONLY_OWNER = 0o600;

/**
 * The transitions of `agent-silent`, and of the page about it that nobody took, kept by the web server in `<data>/web/agent-silent.jsonl`, since the agent that keeps all
 * others is what is silent. What is added is listed at once and written in order; where the disk refuses it, it is tried again.
 */
export class SilenceLog {
  private unwritten: string[] = [];
  private writing: Promise<void> = Promise.resolve();
  private saidWhy = '';

  private constructor(
    private readonly path: string,
    private readonly kept: SilenceEvent[],
    /** Up to where the file is whole; what a cut write left behind it is written over. */
    private wholeBytes: number,
    private readonly log: (line: string) => void,
  ) {}

  /**
   * @throws TakelineFault `silence-log-damaged` where a whole line is not what it should be, `data-unreadable`
   */
  static async open(dataDir: string, log: (line: string) => void): Promise<SilenceLog> {
    const path = join(dataDir, 'web', 'agent-silent.jsonl');
    const text = (await readIfThere(path))?.toString('utf8') ?? '';
    // A line that a power cut left without its end was not written yet.
    const whole = text.slice(0, text.lastIndexOf(LINE_END) + 1);
    const lines = whole.split(LINE_END).filter((line) => line !== '');
    const events = lines.map((line, index) => eventOf(line, path, index + 1));
    return new SilenceLog(path, events, Buffer.byteLength(whole), log);
  }

  /** All transitions in order. */
  get events(): readonly SilenceEvent[] {
    return this.kept;
  }

  /** @returns when it is on the disk, or could not be written and waits */
  add(event: SilenceEvent): Promise<void> {
    this.kept.push(event);
    this.unwritten.push(JSON.stringify(event) + LINE_END);
    return this.write();
  }

  /** Writes what waits, after what is being written; done at once where nothing waits. */
  write(): Promise<void> {
    if (this.unwritten.length > 0) this.writing = this.writing.then(() => this.writeWaiting());
    return this.writing;
  }

  private async writeWaiting(): Promise<void> {
    const lines = this.unwritten;
    if (lines.length === 0) return;
    const bytes = Buffer.from(lines.join(''));
    try {
      await this.writeAt(bytes);
      this.wholeBytes += bytes.length;
      this.unwritten = this.unwritten.slice(lines.length);
      this.saidWhy = '';
    } catch (error) {
      const why = error instanceof Error && 'code' in error ? String(error.code) : String(error);
      if (why !== this.saidWhy)
        this.log(`web: ${this.path} cannot be written (${why}): free the disk or let this user write it; it is tried again.`);
      this.saidWhy = why;
    }
  }

  private async writeAt(bytes: Buffer): Promise<void> {
    await mkdir(dirname(this.path), { recursive: true, mode: 0o700 });
    // Neither to append, which would write behind half a line, nor anew, which would empty the file.
    const file = await open(this.path, constants.O_RDWR | constants.O_CREAT, ONLY_OWNER);
    try {
      await file.truncate(this.wholeBytes);
      await file.write(bytes, 0, bytes.length, this.wholeBytes);
      await file.sync();
    } finally {
      await file.close();
    }
  }
}

function eventOf(line: string, path: string, nth: number): SilenceEvent {
  try {
    const value: unknown = JSON.parse(line);
    if (EVENT.Check(value)) return value;
  } catch {
    // Said below, as of a line that is JSON and something else.
  }
  throw new TakelineFault(
    'silence-log-damaged',
    `${path} is damaged in line ${nth}: move the file away and start again; its list begins anew.`,
  );
}
