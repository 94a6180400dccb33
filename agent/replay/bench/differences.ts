import type { BenchDifferences, BenchResult, EventDifference, TakeupDifference } from '../../contract/bench.js';
import type { RejectReason } from '../../flow/output.js';
import type { ForecastDate } from '../../contract/messages.js';
import type { TakeupSummary } from '../../contract/replay-files.js';

/** An event of one variant is that of the other where they are no further apart. */
const SAME_EVENT_MS = 24 * 3600_000;

type Event = Omit<EventDifference, 'change' | 'aMs' | 'bMs'> & { readonly timeMs: number };

/** What changed from variant a to variant b over the same readings. */
export function differencesOf(a: BenchResult, b: BenchResult): BenchDifferences {
  const { same, events } = eventDifferences(eventsOf(a), eventsOf(b));
  const reasons = Object.keys(a.rejected) as RejectReason[];
  return {
    same,
    events,
    takeups: a.summary.takeups.flatMap((one) => {
      const other = b.summary.takeups.find(({ conveyor, takeup }) => conveyor === one.conveyor && takeup === one.takeup);
      return other === undefined ? [] : [takeupDifference(one, other, a, b)];
    }),
    rejected: reasons.map((reason) => ({ reason, a: a.rejected[reason], b: b.rejected[reason] })).filter((counts) => counts.a !== counts.b),
  };
}

/** Alarms as they rise, and findings. */
function eventsOf({ alarms, findings }: BenchResult): readonly Event[] {
  return [
    ...alarms
      .filter(({ change }) => change === 'raised')
      .map(({ timeMs, conveyor, takeup, signal, alarm }): Event => {
        const place = { ...(takeup === undefined ? {} : { takeup }), ...(signal === undefined ? {} : { signal }) };
        return { what: 'alarm', key: alarm, conveyor, ...place, timeMs };
      }),
    ...findings.map(({ timeMs, conveyor, takeup, finding }): Event => ({ what: 'finding', key: finding, conveyor, takeup, timeMs })),
  ];
}

function nameOf({ what, key, conveyor, takeup = '', signal = '' }: Event): string {
  return [what, key, conveyor, takeup, signal].join(' ');
}

/** Each event of one with the nearest of its kind of the other; those at the same instant first. */
function eventDifferences(a: readonly Event[], b: readonly Event[]): { same: number; events: readonly EventDifference[] } {
  const spare = new Map<string, Event[]>();
  for (const event of b) spare.set(nameOf(event), [...(spare.get(nameOf(event)) ?? []), event]);
  let same = 0;
  const unmatched = a.filter((event) => {
    const found = takeAt(spare.get(nameOf(event)), (other) => other.timeMs === event.timeMs);
    if (found !== undefined) same++;
    return found === undefined;
  });
  const moved = unmatched.map((event): EventDifference => {
    const others = spare.get(nameOf(event)) ?? [];
    const apart = (other: Event): number => Math.abs(other.timeMs - event.timeMs);
    const least = Math.min(...others.map(apart));
    const found = least <= SAME_EVENT_MS ? takeAt(others, (other) => apart(other) === least) : undefined;
    const { timeMs, ...place } = event;
    if (found === undefined) return { ...place, change: 'lost', aMs: timeMs, bMs: null };
    return { ...place, change: found.timeMs < timeMs ? 'earlier' : 'later', aMs: timeMs, bMs: found.timeMs };
  });
  const gained = [...spare.values()]
    .flat()
    .map(({ timeMs, ...place }): EventDifference => ({ ...place, change: 'gained', aMs: null, bMs: timeMs }));
  const at = ({ aMs, bMs }: EventDifference): number => aMs ?? bMs ?? 0;
  return { same, events: [...moved, ...gained].toSorted((one, other) => at(one) - at(other)) };
}

function takeAt(events: Event[] | undefined, is: (event: Event) => boolean): Event | undefined {
  const at = events?.findIndex(is) ?? -1;
  return at < 0 ? undefined : events?.splice(at, 1)[0];
}

function takeupDifference(one: TakeupSummary, other: TakeupSummary, a: BenchResult, b: BenchResult): TakeupDifference {
  const { conveyor, takeup } = one;
  const dates = (of: (trend: TakeupSummary['trend']) => ForecastDate | null): readonly [string | null, string | null] => [
    of(one.trend)?.date ?? null,
    of(other.trend)?.date ?? null,
  ];
  return {
    conveyor,
    takeup,
    elongationPct: [one.chain.elongationPct, other.chain.elongationPct],
    positionMm: [one.positionMm, other.positionMm],
    largestOfDay: largestOfDay(conveyor, takeup, a, b),
    strokeOut: dates((trend) => trend.strokeOut),
    springSlack: dates((trend) => trend.springSlack),
    wearLimit: dates((trend) => trend.wearLimit),
  };
}

function largestOfDay(conveyor: string, takeup: string, a: BenchResult, b: BenchResult): TakeupDifference['largestOfDay'] {
  const others = new Map(b.days.filter((day) => day.conveyor === conveyor && day.takeup === takeup).map((day) => [day.date, day]));
  let largest: TakeupDifference['largestOfDay'] = null;
  for (const day of a.days) {
    const other = day.conveyor === conveyor && day.takeup === takeup ? others.get(day.date) : undefined;
    if (other === undefined || day.elongationPct === null || other.elongationPct === null) continue;
    const pct = other.elongationPct - day.elongationPct;
    if (largest === null || Math.abs(pct) > Math.abs(largest.pct)) largest = { date: day.date, pct: Math.round(pct * 1e7) / 1e7 };
  }
  return largest;
}
