import { describe, expect, it, test } from 'vitest';
import type { WorkEntry } from '../../../agent/contract/service-entry.js';
import { jumpFinding, stepFinding, wholePitches } from '../../../agent/flow/finding/step-finding.js';
import type { Step } from '../../../agent/flow/ledger/window-record.js';
import { testSite } from '../way/test-site.js';

const CONVEYOR = testSite().conveyors[0]!;
const STEP: Step = { id: 'line-tu1-1', takeup: 0, fromMs: 1_767_600_000_000, toMs: 1_767_603_600_000, moveMm: -76.2, whileRunning: false };
const ENTRY = { timeMs: STEP.toMs, conveyor: 'line' } as const;
const removed = (pitches: number): WorkEntry => ({ ...ENTRY, kind: 'chain-removed', pitches });
const finding = (own: Partial<Step>, pitches: number, explained: readonly WorkEntry[] = []): ReturnType<typeof stepFinding> =>
  stepFinding(CONVEYOR, { ...STEP, ...own }, pitches, explained, STEP.toMs + 1);

describe('the pitches that a move stands for', () => {
  // Pitch 76.2 mm, repeat of two pitches, 180°: a repeat moves the carriage by 76.2 mm.
  test.each([
    [-76.2, 2],
    [76.2, -2],
    [-152.4, 4],
    [-76.2 + 9.4, 2],
    [-76.2 - 9.4, 2],
    [-76.2 + 9.7, 0],
    [-38.1, 0],
    [-9, 0],
    [5, 0],
  ])('by %d mm are %d: a multiple of the repeat, to within a quarter of a pitch', (moveMm, pitches) => {
    expect(wholePitches(CONVEYOR, 0, moveMm, 0) + 0).toBe(pitches);
  });

  it('are counted of the chain as it is worn', () => {
    expect(wholePitches(CONVEYOR, 0, -10 * 38.1 * 1.03, 0.03)).toBe(10);
    expect(wholePitches(CONVEYOR, 0, -10 * 38.1 * 1.03, 0)).toBe(0);
  });
});

describe('a step', () => {
  it('over a stop that is whole repeats suggests the entry that would explain it', () => {
    expect(finding({}, 2)).toMatchObject({
      finding: 'chain-removed',
      moveMm: -76.2,
      suggestion: { time: '2026-01-05T09:00:00Z', conveyor: 'line', kind: 'chain-removed', pitches: 2 },
      text: expect.stringMatching(/76\.2 mm inwards over a stop.*taking out 2 pitches.*No service entry/u) as string,
    });
    expect(finding({ moveMm: 76.2 }, -2)).toMatchObject({ finding: 'chain-inserted', suggestion: { kind: 'chain-inserted', pitches: 2 } });
  });

  it('that is none suggests nothing', () => {
    const odd = finding({ moveMm: -20 }, 0);
    expect(odd).toMatchObject({ finding: 'step-unexplained', text: expect.stringContaining('no whole number of repeats') as string });
    expect(odd).not.toHaveProperty('suggestion');
  });

  it('that an entry explains suggests nothing more, and says where the two disagree', () => {
    expect(finding({}, 2, [removed(2)])).not.toHaveProperty('suggestion');
    expect(finding({}, 2, [removed(2)]).text).toContain('It is accounted for.');
    expect(finding({}, 2, [removed(4)]).text).toMatch(/entry says 4 pitches.*check the count/u);
    expect(finding({ moveMm: 5 }, 0, [{ ...ENTRY, kind: 'nut-turned', takeup: 'tu1', side: 'left', turns: 2 }])).toMatchObject({
      finding: 'nut-turned',
    });
  });

  it('while running is chain that is caught, or that gave way', () => {
    expect(finding({ whileRunning: true }, 0)).toMatchObject({ finding: 'chain-caught' });
    expect(finding({ whileRunning: true, moveMm: 40 }, 0)).toMatchObject({ finding: 'chain-slack' });
    expect(finding({ whileRunning: true }, 2)).not.toHaveProperty('suggestion');
    expect(jumpFinding(CONVEYOR, 0, 'jump', 40, STEP.fromMs, STEP.toMs)).toMatchObject({
      finding: 'chain-slack',
      id: 'jump',
      moveMm: 40,
      fromMs: STEP.fromMs,
      toMs: STEP.toMs,
    });
  });
});
