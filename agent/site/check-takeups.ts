import { parseTime } from '../units/time.js';
import { checkSpring, mm } from './check-spring.js';
import { springLengths, type SpringLengths } from './resolve-spring.js';
import type { SideFile, SiteFile, TakeupFile } from './schema.js';
import { each } from './signal-places.js';
import type { Complaint, FaultRule, SitePath, WarningRule } from './site-fault.js';
import type { Sound } from './sound.js';

type Found = Generator<Complaint<FaultRule | WarningRule>>;

/** What the figures of each take-up say about one another. */
export function* checkTakeups(site: Sound<SiteFile>): Found {
  for (const [conveyor, path] of each(site.conveyors, ['conveyors'])) {
    for (const [takeup, takeupPath] of each(conveyor.takeups, [...path, 'takeups'])) {
      const lengths = takeup.spring === undefined ? {} : springLengths(takeup.spring);
      if (takeup.spring !== undefined) yield* checkSpring(takeup.spring, [...takeupPath, 'spring']);
      yield* checkReference(takeup, [...takeupPath, 'reference']);
      for (const name of ['left', 'right'] as const) {
        const side = takeup.sides?.[name];
        if (side?.set !== undefined) yield* checkSet(takeup, side.set, lengths, [...takeupPath, 'sides', name, 'set']);
      }
    }
  }
}

function* checkReference({ reference, stroke_mm: stroke }: Sound<TakeupFile>, path: SitePath): Found {
  yield* checkTime(reference?.at, path);
  const position = reference?.position_mm;
  if (position === undefined || stroke === undefined || position <= stroke) return;
  yield { path: [...path, 'position_mm'], at: 'value', rule: 'reference-outside-stroke', message: beyondStroke(position, stroke) };
}

function* checkSet(takeup: Sound<TakeupFile>, set: Sound<SideFile['set']>, lengths: SpringLengths, path: SitePath): Found {
  yield* checkTime(set.at, path);
  const { position_mm: position, spring_mm: length } = set;
  if (position !== undefined && takeup.stroke_mm !== undefined && position > takeup.stroke_mm) {
    yield { path: [...path, 'position_mm'], at: 'value', rule: 'set-outside-stroke', message: beyondStroke(position, takeup.stroke_mm) };
  }
  const { freeMm, solidMm, clearanceMm } = lengths;
  if (length === undefined || freeMm === undefined || solidMm === undefined || solidMm >= freeMm) return;
  const at = { path: [...path, 'spring_mm'], at: 'value' } as const;
  if (length < solidMm || length > freeMm) {
    yield {
      ...at,
      rule: 'set-spring-outside',
      message: `a spring of ${mm(freeMm)} free and ${mm(solidMm)} solid length cannot be ${mm(length)} long`,
    };
    return;
  }
  if (clearanceMm !== undefined && length < solidMm + clearanceMm) {
    yield { ...at, rule: 'set-spring-tight', message: `shorter than the shortest usable length, ${mm(solidMm + clearanceMm)}` };
  }
  const reference = takeup.reference?.position_mm;
  if (reference === undefined || position === undefined) return;
  const thenMm = length + reference - position;
  if (thenMm < solidMm || thenMm > freeMm) {
    yield {
      ...at,
      rule: 'reference-spring-outside',
      message: `at the reference position this spring would be ${mm(thenMm)} long, outside ${mm(solidMm)} to ${mm(freeMm)}, so the reference tension is not known`,
    };
  }
}

function* checkTime(at: string | undefined, path: SitePath): Found {
  if (at === undefined || parseTime(at) !== undefined) return;
  yield { path: [...path, 'at'], at: 'value', rule: 'bad-time', message: `the calendar has no ${at}` };
}

function beyondStroke(position: number, stroke: number): string {
  return `${mm(position)} lies beyond the outer stop at ${mm(stroke)}; positions are counted from the inner stop`;
}
