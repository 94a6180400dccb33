import { describe, expect, it } from 'vitest';
import { headlineOf } from '../../../../web/client/logic/removal-headline.js';
import { planWith } from './a-plan.js';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

function headline(figures: Parameters<typeof planWith>[1] = {}): string {
  const { plan } = planWith({}, figures);
  const chosen = plan.choices.find(({ pitches }) => pitches === plan.recommended?.pitches);
  return plain(headlineOf(plan, chosen, 'metric'));
}

describe('what a plan comes to, plainly', () => {
  it('is a removal, and a new chain on order where the wear limit is near', () => {
    expect(headline()).toMatch(/^Shorten: take out \d+ pitches, \d+\.\d mm$/);
    expect(headline({ elongationPct: 1.7 })).toMatch(/, and order a new chain$/);
  });

  it('is a new chain where it is worn out: it is not shortened again', () => {
    expect(headline({ elongationPct: 2.1 })).toBe('Replace the chain, do not shorten it');
  });

  it('is neither where the take-up stands too far in', () => {
    expect(headline({ positionMm: 40 })).toBe('No removal can be made now');
  });
});
