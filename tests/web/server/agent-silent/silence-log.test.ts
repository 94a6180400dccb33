import { appendFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { SilenceLog } from '../../../../web/server/agent-silent/silence-log.js';
import type { SilenceEvent } from '../../../../web/server/logic/own-alarm.js';
import { SilentAlarm } from '../../../../web/server/logic/silent-alarm.js';

let dataDir: string;
let said: string[];
beforeEach(() => {
  dataDir = mkdtempSync(join(tmpdir(), 'takeline-silence-'));
  said = [];
});
afterEach(() => rmSync(dataDir, { recursive: true, force: true }));

const path = () => join(dataDir, 'web', 'agent-silent.jsonl');
const open = () => SilenceLog.open(dataDir, (line) => said.push(line));

/** Raised and acknowledged, as it would happen. */
function someEvents(): readonly SilenceEvent[] {
  const alarm = new SilentAlarm();
  const events = [alarm.judge({ state: 'silent', sinceMs: 0, why: 'ended' }, 31_000), alarm.acknowledge('ola', 40_000)];
  return events.flatMap((event) => (event === undefined ? [] : [event]));
}

describe('the transitions of the agent’s silence', () => {
  it('are there again after a restart, in order', async () => {
    const log = await open();
    expect(log.events).toEqual([]);
    await Promise.all(someEvents().map((event) => log.add(event)));
    expect((await open()).events).toEqual(someEvents());
    expect(statSync(path()).mode & 0o077).toBe(0);
  });

  it('survive a power cut in the middle of a line, whose place the next one takes', async () => {
    const [first, second] = someEvents();
    if (first === undefined || second === undefined) throw new Error('there are two');
    await (await open()).add(first);
    appendFileSync(path(), '{"id":"agent-sil');
    const log = await open();
    expect(log.events).toEqual([first]);
    await log.add(second);
    expect(readFileSync(path(), 'utf8')).toBe(`${JSON.stringify(first)}\n${JSON.stringify(second)}\n`);
  });

  it('wait where the disk takes nothing, are said once, and are written when it does', async () => {
    // A folder stands where the file should be.
    mkdirSync(path(), { recursive: true });
    rmSync(path(), { recursive: true });
    const log = await open();
    mkdirSync(path());
    for (const event of someEvents()) await log.add(event);
    expect(said).toHaveLength(1);
    expect(said[0]).toContain('agent-silent.jsonl cannot be written (EISDIR)');
    expect(log.events).toEqual(someEvents());
    rmSync(path(), { recursive: true });
    await log.write();
    expect((await open()).events).toEqual(someEvents());
  });

  it.each(['{"id":"x"}\n', 'nothing of the kind\n'])('are refused where a line is damaged: %j', async (line) => {
    mkdirSync(join(dataDir, 'web'));
    writeFileSync(path(), line);
    await expect(open()).rejects.toThrow(/agent-silent\.jsonl is damaged in line 1: move the file away/);
  });
});
