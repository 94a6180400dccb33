import { describe, expect, it, test } from 'vitest';
import { tensionAfterN, tensionBeforeN } from '../../agent/plan/loop-step.js';
import type { PathSegment } from '../../agent/site/site.js';

// Tags: [P] read in a published page. Tolerances are half a unit of the last published figure.

type Curve = Extract<PathSegment, { kind: 'curve' }>;

/** A curve that carries no load of its own. */
function bare(angleDeg: number, friction: number): Curve {
  return { kind: 'curve', angleDeg, radiusMm: 0, loadNPerM: 0, friction };
}

describe('belt friction after Euler and Eytelwein', () => {
  it('is the factor e^(0.3·π) = 2.566 for a half turn at 0.3', () => {
    // B1.
    expect(Math.abs(tensionAfterN(1, bare(180, 0.3)) - 2.566)).toBeLessThanOrEqual(0.0005);
  });

  it('holds a load of 100 kg on a pole with the published 382.26 N', () => {
    // [P] pickedshares.com, Engineering Mechanics 1, exercise 27, rope friction: 100 kg at 9.81 m/s², three quarters of a turn
    // (3/2·π), coefficient 0.2. The load is the tight end, so the walk is taken backwards.
    const load: Curve = bare(270, 0.2);
    expect(Math.abs(tensionBeforeN(981, load) - 382.26)).toBeLessThanOrEqual(0.005);
    expect(tensionAfterN(382.26, load)).toBeCloseTo(981, 1);
  });

  it('gives the published 197.5217 N behind 130° at 0.3 from 100 N', () => {
    // [P] MathWorks, MATLAB Answers, question 89600, accepted answer.
    expect(Math.abs(tensionAfterN(100, bare(130, 0.3)) - 197.5217)).toBeLessThanOrEqual(0.000_05);
  });

  test.each([
    [180, 2.6, 0.05],
    [360, 6.6, 0.05],
  ])('is published as about %d° → %d at 0.3', (angleDeg, ratio, halfUnit) => {
    // [P] openknowledgegraph.com, Friction with belt drives, text and questions; doubling the wrap squares the ratio.
    expect(Math.abs(tensionAfterN(1, bare(angleDeg, 0.3)) - ratio)).toBeLessThanOrEqual(halfUnit);
  });

  it('of two curves is that of one with both angles together', () => {
    const together = tensionAfterN(tensionAfterN(500, bare(60, 0.12)), bare(75, 0.12));
    expect(together).toBeCloseTo(tensionAfterN(500, bare(135, 0.12)), 9);
  });
});
