import { describe, expect, it, test } from 'vitest';
import type { WorkEntry } from '../../../agent/contract/service-entry.js';
import { explainSteps, unexplainedSteps, type NamedEntry } from '../../../agent/flow/ledger/explain.js';
import type { Step } from '../../../agent/flow/ledger/window-record.js';
import { side, testSite } from '../way/test-site.js';

const HOUR_MS = 3600_000;
const ONE = testSite().conveyors[0]!;
const TWO = testSite({ others: [{ id: 'tu2', sides: { left: side(), right: side() } }] }).conveyors[0]!;

/** A step of an hour's stop at an hour; a repeat of two pitches moves the carriage by 76.2 mm. */
const step = (hour: number, moveMm: number, own: Partial<Step> = {}): Step => ({
  id: `step-${hour}-${own.takeup ?? 0}`,
  takeup: 0,
  fromMs: hour * HOUR_MS,
  toMs: (hour + 1) * HOUR_MS,
  moveMm,
  whileRunning: false,
  ...own,
});
const named = (id: string, hour: number, entry: Readonly<Record<string, unknown>>): NamedEntry => ({
  id,
  entry: { timeMs: hour * HOUR_MS, conveyor: 'line', ...entry } as unknown as WorkEntry,
});
const removed = (id: string, hour: number, pitches: number): NamedEntry => named(id, hour, { kind: 'chain-removed', pitches });

/** Entry ids by the step that each explains, and the steps left open. */
function explained(steps: readonly Step[], entries: readonly NamedEntry[], conveyor = ONE): { by: Record<string, string>; open: string[] } {
  const stepOf = explainSteps(conveyor, steps, entries, 0);
  return {
    by: Object.fromEntries([...stepOf].map(([id, { id: of }]) => [id, of])),
    open: unexplainedSteps(steps, entries, stepOf).map(({ id }) => id),
  };
}

describe('an entry', () => {
  test.each([
    [100, true],
    [100.5, true],
    [124.9, true],
    [125, true],
    [125.1, false],
    [76, true],
    [75.9, false],
  ])('made at hour %d explains a step of hour 100: %s', (hour, explains) => {
    expect(explained([step(100, -76.2)], [removed('cut', hour, 2)]).open).toEqual(explains ? [] : ['step-100-0']);
  });

  test.each([
    [{ kind: 'nut-turned', takeup: 'tu1', side: 'left', turns: 2 }, true],
    [{ kind: 'spring-replaced', takeup: 'tu1', side: 'left', springMm: 220 }, true],
    [{ kind: 'sensor-rezeroed', takeup: 'tu1', side: 'left', positionMm: 40 }, true],
    [{ kind: 'chain-replaced', pitches: 3200 }, true],
    [{ kind: 'lubricated' }, false],
    [{ kind: 'note', text: 'all well' }, false],
    [{ kind: 'service-opened' }, false],
    [{ kind: 'inspected', rock: 'ok', restraintNuts: 'out' }, false],
  ])('of %j explains a step: %s', (entry, explains) => {
    expect(explained([step(100, -20)], [named('it', 100, entry)]).open.length === 0).toBe(explains);
  });

  it('belongs to the step whose pitches it says, though another is nearer', () => {
    const steps = [step(100, -76.2), step(110, -152.4)];
    expect(explained(steps, [removed('four', 104, 4), removed('two', 108, 2)]).by).toEqual({ four: 'step-110-0', two: 'step-100-0' });
  });

  it('that says nothing of pitches comes after one that agrees, and before one that does not', () => {
    const nut = named('nut', 100, { kind: 'nut-turned', takeup: 'tu1', side: 'left', turns: 2 });
    expect(explained([step(100, -76.2), step(120, -20)], [nut, removed('two', 119, 2)]).by).toEqual({
      nut: 'step-120-0',
      two: 'step-100-0',
    });
  });

  it('left over within a day of a step that is explained was part of the same job', () => {
    expect(explained([step(100, -76.2)], [removed('one', 100, 2), removed('other', 100.5, 2)])).toEqual({
      by: { one: 'step-100-0', other: 'step-100-0' },
      open: [],
    });
  });
});

describe('one removal on a chain with two take-ups', () => {
  const steps = [step(100, -38.1, { takeup: 0 }), step(100, -38.1, { takeup: 1 })];

  it('explains the steps of both', () => {
    expect(explained(steps, [removed('cut', 101, 2)], TWO).open).toEqual([]);
  });

  it('does so by an entry at one of them too; a nut turned at one explains that one alone', () => {
    expect(explained(steps, [named('cut', 101, { kind: 'chain-removed', takeup: 'tu2', pitches: 2 })], TWO).open).toEqual([]);
    expect(explained(steps, [named('nut', 101, { kind: 'nut-turned', takeup: 'tu2', side: 'left', turns: 1 })], TWO).open).toEqual([
      'step-100-0',
    ]);
  });
});
