import type { PathSegment } from '../site/site.js';

/** A stretch that resists: everything of the path but the drive. */
export type Resistance = Exclude<PathSegment, { kind: 'drive' }>;

/** Developed length of a stretch along the chain, mm: a curve's arc r·θ. */
export function developedMm(segment: PathSegment): number {
  switch (segment.kind) {
    case 'straight':
      return segment.lengthMm;
    case 'curve':
      return segment.radiusMm * radians(segment.angleDeg);
    case 'drive':
      return 0;
  }
}

/**
 * Tension behind a stretch, N, from that before it, in the direction of travel (mechanics §4).
 *
 * Straight: T + w·(μ·run + rise), run the horizontal length √(length² − rise²).
 *
 * Curve: T·e^(μ·θ) + μ·w·r·θ. Derivation: over an arc ds the pull of the curve T·ds/r and the load's weight w·ds press the chain on its
 * track, so dT = μ·T·dθ + μ·w·r·dθ. The first term alone is the belt friction of Euler and Eytelwein; the second is the load's own
 * friction over the arc, entered as along a straight of the same length. What the curve would add to that friction in turn,
 * w·r·(e^(μθ) − 1 − μθ), is of second order in μθ and left out. A slack chain (T below 0) does not press: only its load rubs.
 *
 * @param tensionN - may be below 0, which says that the chain is slack by so much
 */
export function tensionAfterN(tensionN: number, segment: Resistance): number {
  if (segment.kind === 'straight') return tensionN + straightN(segment);
  const { wrap, loadN } = curve(segment);
  return (tensionN > 0 ? tensionN * wrap : tensionN) + loadN;
}

/** The tension before a stretch that gives this one behind it: the inverse of `tensionAfterN`. */
export function tensionBeforeN(tensionN: number, segment: Resistance): number {
  if (segment.kind === 'straight') return tensionN - straightN(segment);
  const { wrap, loadN } = curve(segment);
  const pressedN = tensionN - loadN;
  return pressedN > 0 ? pressedN / wrap : pressedN;
}

function straightN({ lengthMm, riseMm, loadNPerM, friction }: Extract<PathSegment, { kind: 'straight' }>): number {
  const runMm = Math.sqrt(Math.max(0, lengthMm ** 2 - riseMm ** 2));
  return (loadNPerM * (friction * runMm + riseMm)) / 1000;
}

function curve(segment: Extract<PathSegment, { kind: 'curve' }>): { readonly wrap: number; readonly loadN: number } {
  const { angleDeg, loadNPerM, friction } = segment;
  return { wrap: Math.exp(friction * radians(angleDeg)), loadN: (friction * loadNPerM * developedMm(segment)) / 1000 };
}

function radians(degrees: number): number {
  return (degrees * Math.PI) / 180;
}
