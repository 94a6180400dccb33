import { type ChildProcess, spawn } from 'node:child_process';
import { randomInt } from 'node:crypto';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { afterAll, beforeAll, describe, expect, it, onTestFinished, vi } from 'vitest';
import type { TakelineFault } from '../../agent/process/fault.js';
import type { JournalItem } from '../../agent/store/journal.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import type { StoreReader, StoreWriter } from '../../agent/store/store.js';

const SIGNALS = ['enamel/running', 'enamel/tu1/left/position'];
const ROUNDS = 8;

/** A process that journals without end. */
class Journalling {
  private readonly child: ChildProcess;
  private said = '';
  private errors = '';

  constructor(script: string, dataDir: string) {
    this.child = spawn(process.execPath, [script, dataDir], { stdio: ['ignore', 'pipe', 'pipe'] });
    this.child.stdout?.setEncoding('utf8').on('data', (text: string) => (this.said += text));
    this.child.stderr?.setEncoding('utf8').on('data', (text: string) => (this.errors += text));
    onTestFinished(() => this.killed());
  }

  get pid(): number {
    return this.child.pid ?? 0;
  }

  /** What it has acknowledged; a line that was cut off does not count. */
  acknowledged(): readonly number[] {
    return this.said.split('\n').slice(0, -1).map(Number);
  }

  /** Waits until it has acknowledged so many more things. */
  async hasDone(count: number): Promise<void> {
    await vi.waitFor(() => expect(this.acknowledged().length, this.errors).toBeGreaterThan(count), { timeout: 20_000, interval: 1 });
  }

  /** SIGKILL: it cannot catch that, and closes nothing. */
  async killed(): Promise<void> {
    if (this.child.signalCode !== null || this.child.exitCode !== null) return;
    const closed = once(this.child, 'close');
    this.child.kill('SIGKILL');
    await closed;
  }
}

async function journalOf(store: StoreWriter): Promise<readonly JournalItem[]> {
  const items: JournalItem[] = [];
  for await (const item of store.readJournal(0)) items.push(item);
  return items;
}

/** The sequence numbers that the store holds in rows and in blocks, each read from what was written under it. */
async function seqsIn(store: StoreWriter, reader: StoreReader): Promise<readonly number[]> {
  const seqs: number[] = [];
  for await (const { count, value } of reader.readings(SIGNALS, 0, Number.MAX_SAFE_INTEGER)) seqs.push(...value.subarray(0, count));
  for (const item of await journalOf(store)) if (item.kind === 'operator') seqs.push(Number(item.action['seq']));
  return seqs.sort((a, b) => a - b);
}

describe('an agent that is killed while it journals', () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'takeline-kill-'));
  const built = join(import.meta.dirname, '../../.cache/store-kill');
  const script = join(built, 'store-kill-child.js');

  beforeAll(async () => {
    mkdirSync(built, { recursive: true });
    const ssr = fileURLToPath(new URL('store-kill-child.ts', import.meta.url));
    await build({ configFile: false, logLevel: 'error', build: { ssr, outDir: built, target: 'node20' } });
  });
  afterAll(() => {
    rmSync(dataDir, { recursive: true });
  });

  it('keeps its folder to itself while it lives, and lets a reader look on', async () => {
    const child = new Journalling(script, dataDir);
    await child.hasDone(10);
    const refused = await openSqliteWriter({ dataDir, signals: SIGNALS }).then(
      () => undefined,
      (fault: unknown) => fault as TakelineFault,
    );
    expect(refused?.code).toBe('store-in-use');
    expect(refused?.message).toContain(`process ${child.pid} on `);

    const reader = await openSqliteReader({ dataDir });
    const events = async () => (await reader.alarmEvents({ limit: 1 })).total;
    const before = await events();
    await vi.waitFor(async () => expect(await events()).toBeGreaterThan(before), { timeout: 20_000, interval: 5 });
    await reader.stop();
    await child.killed();
  });

  it('has after every restart all that it acknowledged, and each checkpoint with its outputs', async () => {
    for (let round = 1; round <= ROUNDS; round++) {
      const child = new Journalling(script, dataDir);
      const moment = { afterAcknowledged: randomInt(1, 150), turns: randomInt(0, 200) };
      await child.hasDone(moment.afterAcknowledged);
      for (let turn = 0; turn < moment.turns; turn++) await new Promise(setImmediate);
      await child.killed();
      const acknowledged = child.acknowledged();

      const store = await openSqliteWriter({ dataDir, signals: SIGNALS });
      const reader = await openSqliteReader({ dataDir });
      const said = `round ${round}, killed at ${JSON.stringify(moment)}, last said ${acknowledged.at(-1)}`;
      expect(store.lastSeq, said).toBeGreaterThanOrEqual(acknowledged.at(-1)!);
      const seqs = await seqsIn(store, reader);
      expect(seqs.length, said).toBe(store.lastSeq);
      expect(
        seqs.every((seq, index) => seq === index + 1),
        said,
      ).toBe(true);

      const checkpoint = await store.loadCheckpoint();
      const covered = checkpoint?.seq ?? 0;
      expect(checkpoint?.state ?? '0', said).toBe(String(covered));
      expect(covered, said).toBeLessThanOrEqual(store.lastSeq);
      const latest = (await reader.alarmEvents({ limit: 1 })).events[0];
      expect(latest?.timeMs ?? 0, said).toBe(covered);
      await reader.stop();
      await store.stop();
    }
  });
});
