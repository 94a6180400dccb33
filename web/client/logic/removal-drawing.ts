import type { RemovalChoice } from '../../../agent/plan/removal-choice.js';
import type { RemovalPlan } from '../../../agent/plan/removal-plan.js';
import type { Span } from './ruler.js';

/** Where a removal takes the carriage on the ruler, px from the left edge. */
export interface RemovalDrawing {
  readonly before: number;
  readonly after: number;
  /** The carriage would come to stand beyond the inner stop: it is drawn there. */
  readonly beyond: boolean;
  /** What is kept free inwards, from the inner stop. */
  readonly reserve: Span | undefined;
  /** How far in the carriage must be drawn before the chain can be parted. */
  readonly drawnTo: number;
}

/** @param frame - px from the left edge to the inner stop, and from there to the outer stop */
export function drawRemoval(
  { positionMm, strokeMm, excess }: Pick<RemovalPlan, 'positionMm' | 'strokeMm' | 'excess'>,
  { settlesAtMm, drawIn }: Pick<RemovalChoice, 'settlesAtMm' | 'drawIn'>,
  frame: { readonly margin: number; readonly width: number },
): RemovalDrawing {
  const x = (mm: number): number => frame.margin + (Math.min(Math.max(mm, 0), strokeMm) * frame.width) / strokeMm;
  return {
    before: x(positionMm),
    after: x(settlesAtMm),
    beyond: settlesAtMm < 0,
    reserve: excess.totalMm > 0 ? { from: x(0), to: x(excess.totalMm) } : undefined,
    drawnTo: x(positionMm - drawIn.neededMm),
  };
}
