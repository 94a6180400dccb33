import { describe, expect, test } from 'vitest';
import { walkLoop } from '../../agent/plan/loop-walk.js';
import type { PathSegment } from '../../agent/site/site.js';

// Tags: [P] read in a published page.

const GRAVITY = 9.81;
const HALF_TURN = { gain: 2, turnFriction: 0 };

interface Incline {
  /** Horizontal and vertical projection, m. */
  readonly run: number;
  readonly rise: number;
  /** kg/m of goods and of moving conveyor. */
  readonly goods: number;
  readonly chain: number;
  readonly friction: number;
}

/**
 * [P] *Introduction to Materials Handling*, page 94 of the print, equation (i): the total pull of a chain that carries up an incline and
 * comes back empty, T = m_G·g·(V + f·H) + m_C·g·(V + f·H) + m_C·g·(f·H − V), where the return run does not run down of itself (f·H > V).
 */
function publishedPullN({ run, rise, goods, chain, friction }: Incline): number {
  return goods * GRAVITY * (rise + friction * run) + chain * GRAVITY * (rise + friction * run) + chain * GRAVITY * (friction * run - rise);
}

describe('the pull of a conveyor chain on an incline', () => {
  test.each([
    { run: 30, rise: 0, goods: 50, chain: 20, friction: 0.1 },
    { run: 30, rise: 2, goods: 50, chain: 20, friction: 0.1 },
    { run: 60, rise: 8.5, goods: 110, chain: 42, friction: 0.15 },
  ])('is the published one: %j', (incline) => {
    const { run, rise, goods, chain, friction } = incline;
    const lengthMm = 1000 * Math.hypot(run, rise);
    const up: PathSegment = { kind: 'straight', lengthMm, riseMm: 1000 * rise, loadNPerM: (goods + chain) * GRAVITY, friction };
    const down: PathSegment = { kind: 'straight', lengthMm, riseMm: -1000 * rise, loadNPerM: chain * GRAVITY, friction };
    // Enough at the take-up that the chain hangs slack nowhere.
    const { drivePullN } = walkLoop([up, down, { kind: 'drive' }], HALF_TURN, 10_000);
    expect(drivePullN).toBeCloseTo(publishedPullN(incline), 6);
  });
});
