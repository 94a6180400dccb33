import type { Figure, SideNow, TakeupNow } from '../contract/messages.js';
import type { SideName } from '../site/site.js';
import type { GivenFigures } from './takeup-state.js';

type LivePicture = Pick<TakeupNow, 'positionMm' | 'settledMm' | 'breathingMm' | 'chain' | 'trend'> &
  Readonly<Record<SideName, Pick<SideNow, 'springMm' | 'spring'>>>;

/** What the live picture knows of a take-up. The settled position and the springs as they are there, since a plan does not start from a moment. */
export function figuresOfNow(now: LivePicture): GivenFigures {
  return {
    positionMm: known(now.settledMm),
    elongationPct: known(now.chain.elongationPct),
    pitches: now.chain.pitches,
    springLeftMm: settledSpringMm(now, 'left'),
    springRightMm: settledSpringMm(now, 'right'),
    ...springsInForce(now),
    travelMmPerDay: now.trend.travelMmPerDay ?? undefined,
    breathingMm: known(now.breathingMm),
    thermalMm: known(now.chain.thermalMm),
    provisional: now.chain.provisional,
  };
}

/** The springs that a picture says are in force: others than the site file's once one was replaced. */
export function springsInForce({ left, right }: Readonly<Record<SideName, Pick<SideNow, 'spring'>>>): Pick<GivenFigures, 'springs'> {
  return left.spring === undefined || right.spring === undefined ? {} : { springs: { left: left.spring, right: right.spring } };
}

/** Length of a side's spring with the carriage where it settled: a spring follows the carriage, L + Δx. */
export function settledSpringMm(now: Pick<LivePicture, 'positionMm' | 'settledMm' | SideName>, side: SideName): number | undefined {
  const [springMm, positionMm, settledMm] = [now[side].springMm, now.positionMm, now.settledMm];
  if (typeof springMm !== 'number' || typeof settledMm !== 'number' || typeof positionMm !== 'number') return undefined;
  return springMm + settledMm - positionMm;
}

/** The first figures, and where those say nothing the second. */
export function figuresOr(first: GivenFigures, second: GivenFigures): GivenFigures {
  const said = Object.entries(first).filter(([, value]) => value !== undefined);
  return { ...second, ...Object.fromEntries(said) };
}

function known(figure: Figure): number | undefined {
  return typeof figure === 'number' ? figure : undefined;
}
