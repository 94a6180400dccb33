import { describe, expect, it } from 'vitest';
import { Pipeline } from '../agent/pipeline.js';
import { readSite } from '../agent/site/read-site.js';
import { signalsOf, type Site } from '../agent/site/site.js';
import { entryOf, feed, inOrder, readings, resumed, run, served } from './flow/way/run.js';
import { START_MS, testSite } from './flow/way/test-site.js';

/** Two conveyors that differ by their names alone. */
function twoConveyors(): Site {
  const takeup = (id: string): unknown => ({
    id,
    location: 'after the drive',
    wrap_deg: 180,
    stroke_mm: 230,
    spring: { free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12 },
    reference: { at: '2026-01-05T06:00:00Z', position_mm: 40 },
    sides: Object.fromEntries(
      ['left', 'right'].map((name) => [
        name,
        { position: { period_s: 10 }, set: { at: '2026-01-05T06:00:00Z', position_mm: 40, spring_mm: 200 } },
      ]),
    ),
  });
  const conveyor = (id: string): unknown => ({
    id,
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 },
    takeups: [takeup('tu1')],
  });
  const reading = readSite(
    JSON.stringify({ site: { id: 'plant', timezone: 'UTC' }, conveyors: [conveyor('line'), conveyor('paint')] }),
    'two.yaml',
  );
  if (!reading.ok) throw new Error('the site has faults');
  return reading.site;
}

describe('a pipeline', () => {
  it('names its signals in the order of the site', () => {
    const site = twoConveyors();
    expect(new Pipeline(site).signals).toEqual(signalsOf(site).map(({ name }) => name));
  });

  it('knows no time before its first input, and then the latest that any has said', () => {
    const pipeline = new Pipeline(testSite());
    expect(pipeline.timeMs).toBe(-Infinity);
    pipeline.advance({ kind: 'reading', signal: 0, timeMs: START_MS, raw: 60 });
    pipeline.advance({ kind: 'reading', signal: 1, timeMs: START_MS - 5000, raw: 60 });
    expect(pipeline.timeMs).toBe(START_MS);
    pipeline.advance({ kind: 'tick', timeMs: START_MS + 5000 });
    expect(pipeline.timeMs).toBe(START_MS + 5000);
  });

  it('can be saved before its first input, and brought back', () => {
    const site = testSite();
    const back = resumed(site, new Pipeline(site));
    expect(back.timeMs).toBe(-Infinity);
    expect(JSON.stringify(back.save())).toBe(JSON.stringify(new Pipeline(site).save()));
  });

  it('keeps its conveyors apart: readings, entries and acknowledgements reach the one they name', () => {
    const site = twoConveyors();
    const both = (name: string, mm: number): Record<string, number> => ({
      [`${name}/tu1/left/position`]: mm,
      [`${name}/tu1/right/position`]: mm,
    });
    const inputs = readings(START_MS, START_MS + 600_000, 10, () => ({ ...both('line', 226), ...both('paint', 60) }));
    const cut = served(site, START_MS + 60_000, { conveyor: 'paint', kind: 'chain-removed', pitches: 2 });
    const { alarms, pipeline } = run(site, [
      ...inputs,
      cut,
      { kind: 'acknowledge', timeMs: START_MS + 500_000, conveyor: 'paint', takeup: 'tu1', alarm: 'stroke-end', by: 'shift lead' },
    ]);
    expect(alarms.every(({ conveyor }) => conveyor === 'line')).toBe(true);
    expect(alarms.map(({ change }) => change)).not.toContain('acknowledged');
    expect(pipeline.ways.map(({ account }) => account.ledger.eraAt(Infinity).pitches)).toEqual([3200, 3198]);
  });

  it('takes a correction that names no conveyor to the entry that it corrects', () => {
    const site = twoConveyors();
    const pipeline = new Pipeline(site);
    const entry = entryOf(site, START_MS, { conveyor: 'paint', kind: 'chain-removed', pitches: 4, id: 'cut' });
    feed(pipeline, inOrder([{ kind: 'service', timeMs: START_MS, entry }]));
    const correction = { kind: 'correction', timeMs: START_MS + 1000, replaces: 'cut', changes: { pitches: 2 } } as const;
    pipeline.advance({ kind: 'service', timeMs: correction.timeMs, entry: correction });
    expect(pipeline.ways.map(({ account }) => account.ledger.eraAt(Infinity).pitches)).toEqual([3200, 3198]);
  });
});
