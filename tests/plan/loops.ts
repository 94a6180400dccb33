import type { PathSegment } from '../../agent/site/site.js';

/** Stretches of a path, in metres, newtons a metre and degrees. */
export function straight(lengthM: number, riseM: number, loadNPerM: number, friction: number): PathSegment {
  return { kind: 'straight', lengthMm: lengthM * 1000, riseMm: riseM * 1000, loadNPerM, friction };
}

export function curve(angleDeg: number, friction: number, radiusM = 0, loadNPerM = 0): PathSegment {
  return { kind: 'curve', angleDeg, radiusMm: radiusM * 1000, loadNPerM, friction };
}

export const DRIVE: PathSegment = { kind: 'drive' };
