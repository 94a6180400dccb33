import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { Spool } from '../../../agent/replay/bench/spool.js';

const folder = mkdtempSync(join(tmpdir(), 'takeline-spool-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

/** A million readings, one a second. */
function layOut(free: (path: string) => number): Spool {
  const spool = new Spool(join(folder, 'readings'), free);
  const count = 1_000_000;
  spool.add({
    count,
    timeMs: Float64Array.from({ length: count }, (_, i) => i * 1000),
    value: new Float64Array(count).fill(40),
    signal: new Int32Array(count),
  });
  spool.finish();
  return spool;
}

describe('readings laid out for the bench', () => {
  it('leave the disk to the live history before it is full', () => {
    let freeBytes = 520 * 1024 ** 2;
    expect(() => layOut(() => (freeBytes -= 10 * 1024 ** 2))).toThrow(/the disk is nearly full.*make room, or take a shorter one/);
  });

  it('are found again by their time', () => {
    const spool = layOut(() => Infinity);
    const { timeMs, count } = spool.read(spool.blockBefore(500_000_500));
    expect(timeMs[0]).toBeLessThan(500_000_500);
    expect(timeMs[count - 1]).toBeGreaterThanOrEqual(500_000_000);
    spool.close();
  });
});
