import type { PathSegment } from '../site/site.js';

/** How the carriers are loaded along the path. */
export type LoadCase = 'loaded' | 'empty' | 'climbs-loaded' | 'declines-loaded';

export const LOAD_CASES = ['loaded', 'empty', 'climbs-loaded', 'declines-loaded'] as const satisfies readonly LoadCase[];

/** The path with its drive: one that names none has it at its end, just before the take-up. */
export function withDrive(path: readonly PathSegment[]): readonly PathSegment[] {
  return path.some(({ kind }) => kind === 'drive') ? path : [...path, { kind: 'drive' }];
}

/** The path as the chain meets it when the conveyor runs backwards: the other way round, climbs become declines. */
export function turnedRound(path: readonly PathSegment[]): readonly PathSegment[] {
  return [...withDrive(path)]
    .reverse()
    .map((segment) => (segment.kind === 'straight' ? { ...segment, riseMm: segment.riseMm === 0 ? 0 : -segment.riseMm } : segment));
}

/**
 * The moving load with empty carriers, N/m, where nobody says it: the least load of any stretch that has one. A site's path gives its
 * loads as they are in production, and somewhere on the way back the carriers hang empty. 0 for a path without loads.
 */
export function leastLoadNPerM(path: readonly PathSegment[]): number {
  const loads = path.flatMap((segment) => (segment.kind !== 'drive' && segment.loadNPerM > 0 ? [segment.loadNPerM] : []));
  return loads.length === 0 ? 0 : Math.min(...loads);
}

/**
 * The path with the loads of a case. Only straights climb or fall; what does neither counts as empty in the two cases that load those
 * alone. A stretch is never heavier empty than loaded.
 */
export function loadedAs(path: readonly PathSegment[], load: LoadCase, emptyNPerM: number): readonly PathSegment[] {
  return path.map((segment) => {
    if (segment.kind === 'drive' || load === 'loaded') return segment;
    const rise = segment.kind === 'straight' ? segment.riseMm : 0;
    const keeps = (load === 'climbs-loaded' && rise > 0) || (load === 'declines-loaded' && rise < 0);
    return keeps ? segment : { ...segment, loadNPerM: Math.min(segment.loadNPerM, emptyNPerM) };
  });
}
