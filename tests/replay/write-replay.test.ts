import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { AlarmOutput } from '../../agent/flow/output.js';
import { Pipeline } from '../../agent/pipeline.js';
import { TakelineFault } from '../../agent/process/fault.js';
import type { ReplayResult } from '../../agent/replay/replay.js';
import { REPLAY_FILES, writeReplay } from '../../agent/replay/write-replay.js';
import { scratchFolder } from '../recording/scratch.js';
import { START_MS, testSite } from '../flow/way/test-site.js';

const scratch = scratchFolder();

const ALARM: AlarmOutput = {
  kind: 'alarm',
  timeMs: START_MS,
  conveyor: 'line',
  takeup: 'tu1',
  alarm: 'stroke-low',
  priority: 'medium',
  change: 'raised',
  from: 'normal',
  to: 'unacknowledged',
  value: 45.123456789,
  limit: 46,
  unit: 'mm',
};

function result(own: Partial<ReplayResult> = {}): ReplayResult {
  const rejected = { unparsable: 0, 'unknown-signal': 0, 'out-of-range': 0, spike: 0, late: 0, duplicate: 0 };
  return {
    pipeline: new Pipeline(testSite()),
    firstMs: START_MS,
    lastMs: START_MS,
    readings: 1,
    rejected,
    rejects: [],
    alarms: [],
    days: [],
    findings: [],
    ...own,
  };
}

describe('the files of a replay', () => {
  it('are all there, each whole, and no part of one is left beside them', async () => {
    await writeReplay(result({ alarms: [ALARM] }), scratch('out'));
    expect(readdirSync(scratch('out')).sort()).toEqual([...REPLAY_FILES].sort());
    expect(readFileSync(scratch('out/alarms.jsonl'), 'utf8')).toBe(
      '{"time":"2026-01-05T06:00:00Z","conveyor":"line","takeup":"tu1","alarm":"stroke-low","change":"raised","value":45.123457,"limit":46,"unit":"mm"}\n',
    );
  });

  it('hold what conditions did: an operator’s doings are no part of a replay', async () => {
    await writeReplay(result({ alarms: [ALARM, { ...ALARM, change: 'acknowledged' }, { ...ALARM, change: 'cleared' }] }), scratch('acts'));
    const changes = readFileSync(scratch('acts/alarms.jsonl'), 'utf8')
      .trim()
      .split('\n')
      .map((line) => (JSON.parse(line) as { change: string }).change);
    expect(changes).toEqual(['raised', 'cleared']);
  });

  it('may have very many lines', async () => {
    const rejects = Array.from({ length: 12_345 }, (_, i) => ({ line: i + 2, reason: 'late' as const }));
    await writeReplay(result({ rejects }), scratch('long'));
    const lines = readFileSync(scratch('long/rejects.csv'), 'utf8').split('\n');
    expect(lines).toHaveLength(12_345 + 2);
    expect([lines[0], lines[1], lines.at(-2), lines.at(-1)]).toEqual(['line,reason', '2,late', '12346,late', '']);
  });

  it('stay as they were where the folder cannot be written, which is said with a remedy', async () => {
    writeFileSync(scratch('a-file'), 'kept');
    const refused = writeReplay(result(), scratch('a-file/below'));
    await expect(refused).rejects.toThrow(TakelineFault);
    await expect(refused).rejects.toThrow(/--out/u);
    mkdirSync(scratch('blocked/settled.csv.part'), { recursive: true });
    await expect(writeReplay(result(), scratch('blocked'))).rejects.toThrow(TakelineFault);
    expect(readFileSync(scratch('a-file'), 'utf8')).toBe('kept');
  });
});
