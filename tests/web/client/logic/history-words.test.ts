import { describe, expect, it } from 'vitest';
import { NOTHING } from '../../../../web/client/logic/history-series.js';
import { quantityWords, runningSummary, runningWord, sourceWords } from '../../../../web/client/logic/history-words.js';

const part = (ran: number, stood: number, fromMs = 0, toMs = 100) => ({ fromMs, toMs, ran, stood });

describe('the words of a history', () => {
  it('call a temperature by its zone', () => {
    expect(quantityWords('temperature enamel/furnace/temperature')).toMatchObject({ words: 'Temperature, furnace', kind: 'temperature' });
  });

  it('say of a stretch whether the conveyor ran, and never that it stood where that is not known', () => {
    expect(runningWord(part(1, 0))).toBe('running');
    expect(runningWord(part(0, 1))).toBe('stopped');
    expect(runningWord(part(0.4, 0.6))).toBe('ran 40 %');
    expect(runningWord(part(0, 0))).toBe('not known');
    expect(runningWord(part(0, 0.3))).toBe('stopped, in part not known');
    expect(runningWord(undefined)).toBe('not known');
  });

  it('add up what a strip shows, beyond the window left out', () => {
    const parts = [part(1, 0, -100, 50), part(0, 1, 50, 75)];
    expect(runningSummary(parts, { fromMs: 0, toMs: 100 })).toBe('Of the time shown it ran 50 %, stood 25 %; not known 25 %');
  });

  it('say what a point stands for, and why it is no finer', () => {
    expect(sourceWords({ ...NOTHING, source: 'readings', widthMs: 500 })).toBe('A point stands for 500 ms, from the readings themselves.');
    expect(sourceWords({ ...NOTHING, coarse: 'readings-gone' })).toBe(
      'A point stands for 1 min: single readings of this time are no longer kept.',
    );
    expect(sourceWords({ ...NOTHING, source: 'hours', widthMs: 3_600_000, coarse: 'readings-gone' })).toBe(
      'A point stands for 1 h: minutes of this time are no longer kept.',
    );
    expect(sourceWords({ ...NOTHING, source: 'days', widthMs: 2 * 86_400_000 })).toBe(
      'A point stands for 2 days, its furthest in and out kept.',
    );
  });
});
