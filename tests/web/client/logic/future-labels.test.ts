import { describe, expect, it } from 'vitest';
import { futureLabels } from '../../../../web/client/logic/future-labels.js';

const words = (marks: Parameters<typeof futureLabels>[0]) => futureLabels(marks, 11).map((label) => label.words);

describe('the words of the future marks', () => {
  it('say in how many days, or that the stop comes before', () => {
    expect(
      words([
        { days: 30, x: 100, beyond: false },
        { days: 90, x: 400, beyond: true },
      ]),
    ).toEqual(['30 d', 'stop before 90 d']);
  });

  it('do not run into one another: the nearer mark goes without', () => {
    expect(
      words([
        { days: 30, x: 100, beyond: false },
        { days: 90, x: 120, beyond: false },
      ]),
    ).toEqual(['90 d']);
    expect(
      words([
        { days: 30, x: 320, beyond: false },
        { days: 90, x: 400, beyond: true },
      ]),
    ).toEqual(['stop before 90 d']);
  });
});
