import type { SpringNow } from '../../../agent/contract/messages.js';

/** One coil's front, as it crosses the drawing from bottom to top; px. */
export interface Coil {
  readonly bottom: number;
  readonly top: number;
}

/** Where everything of one spring lies, in px from its fixed seat. */
export interface SpringDrawing {
  readonly coils: readonly Coil[];
  /** Width of the wire along the spring. */
  readonly wire: number;
  /** Where the moving seat stands; a spring longer than free stands at free. */
  readonly end: number;
  readonly solid: number;
  /** The shortest usable length: solid and the least clearance of the coils. */
  readonly shortest: number;
  readonly free: number;
  /** The coils touch. */
  readonly closed: boolean;
}

const LEAST_COILS = 5;
const MOST_COILS = 16;
/** Where the site gives the maker's lengths and no wire. */
const USUAL_COILS = 10;

/**
 * Draws a spring to scale along its length, so that the gaps between the coils are what is left before it is solid.
 *
 * @param lengthMm - its length now
 * @param widthPx - for the free length
 */
export function drawSpring(
  spring: Pick<SpringNow, 'freeMm' | 'solidMm' | 'clearanceMm' | 'totalCoils'>,
  lengthMm: number,
  widthPx: number,
): SpringDrawing {
  const scale = widthPx / spring.freeMm;
  const count = Math.round(Math.min(Math.max(spring.totalCoils ?? USUAL_COILS, LEAST_COILS), MOST_COILS));
  const wire = (spring.solidMm / count) * scale;
  const end = Math.min(Math.max(lengthMm, spring.solidMm), spring.freeMm) * scale;
  const pitch = (end - wire) / (count - 1);
  return {
    coils: Array.from({ length: count }, (_, index) => {
      const middle = wire / 2 + index * pitch;
      return { bottom: middle - lean(index, count, pitch, -1), top: middle + lean(index, count, pitch, 1) };
    }),
    wire,
    end,
    solid: spring.solidMm * scale,
    shortest: (spring.solidMm + spring.clearanceMm) * scale,
    free: widthPx,
    closed: lengthMm <= spring.solidMm,
  };
}

/** A coil rises by half a pitch from bottom to top; the outer ends of the first and the last lie flat against their seats. */
function lean(index: number, count: number, pitch: number, side: -1 | 1): number {
  const flat = (index === 0 && side === -1) || (index === count - 1 && side === 1);
  return flat ? 0 : pitch / 4;
}
