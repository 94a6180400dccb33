import { describe, expect, it } from 'vitest';
import type { EntryAnswer } from '../../../../web/server/logic/work-answers.js';
import { groupMarks, groupSign, timelineMarks } from '../../../../web/client/logic/timeline-marks.js';
import { findingOf } from '../../a-service.js';

const entry = (id: string, timeMs: number, body: Readonly<Record<string, unknown>>, state?: 'withdrawn'): EntryAnswer => ({
  ...{ id, timeMs, takenMs: timeMs, conveyor: 'line1', entry: body },
  ...(state === undefined ? {} : { state }),
});
const RAISED = {
  ...({ id: 'a', kind: 'alarm', timeMs: 50, conveyor: 'line1', takeup: 'tu1', alarm: 'stroke-end', priority: 'high' } as const),
  ...({ change: 'raised', from: 'normal', to: 'unacknowledged', value: 8, limit: 11, unit: 'mm' } as const),
};

describe('what happened to a take-up, on its charts', () => {
  const entries = [
    entry('r', 100, { kind: 'chain-removed', pitches: 2 }),
    entry('l', 200, { kind: 'lubricated' }),
    entry('w', 300, { kind: 'chain-inserted', pitches: 2 }, 'withdrawn'),
  ];
  const alarms = [RAISED, { ...RAISED, id: 'b', timeMs: 60, change: 'cleared' } as const];
  const finding = { ...findingOf({ toMs: 90 }), state: 'open' } as const;
  const marks = timelineMarks(entries, alarms, [finding, { ...finding, id: 'no', state: 'rejected' }], 'metric');

  it('is work that was not struck out, alarms that rose, and findings that were not rejected, in order', () => {
    expect(marks.map(({ lane, sign, words }) => [lane, sign, words])).toEqual([
      ['alarms', '', 'Travel nearly used up raised'],
      ['findings', '?', 'Chain taken out'],
      ['work', '\u22122', '2 pitches taken out'],
      ['work', 'lub', 'Chain lubricated'],
    ]);
  });

  it('is drawn as one where it would stand on one another, by the change of the chain among it', () => {
    const work = marks.filter(({ lane }) => lane === 'work');
    const [together, ...more] = groupMarks(work, (timeMs) => timeMs / 100, 20);
    expect(more).toEqual([]);
    expect(together === undefined ? '' : groupSign(together)).toBe('\u22122');
    expect(groupMarks(work, (timeMs) => timeMs, 20).map(groupSign)).toEqual(['\u22122', 'lub']);
  });
});
