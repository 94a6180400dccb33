import { ALARM_KEYS, PRIORITIES, type AlarmKey, type Priority } from '../alarm-key.js';
import type { AlarmOutput } from '../output.js';
import type { SideName } from '../../site/site.js';

/** Whose alarm it is; without a conveyor it is the site's, as when the agent is silent. */
export interface PagedPlace {
  readonly conveyor?: string;
  readonly takeup?: string;
  readonly signal?: string;
  readonly alarm: AlarmKey;
}

/** A transition of an alarm, as much of it as paging looks at. */
export type PagedEvent = Omit<AlarmOutput, 'conveyor' | 'kind'> & { readonly conveyor?: string };

/** An alarm that rose and has not been acknowledged since. */
export interface Occurrence extends PagedPlace {
  readonly side?: SideName;
  readonly priority: Priority;
  /** When it rose, on the data's clock, whole ms. */
  readonly sinceMs: number;
  readonly value: number | null;
  readonly limit: number | null;
  readonly unit: string;
  /** Its condition is over, and nobody has acknowledged that it was there. */
  readonly returned: boolean;
}

/** What tells an alarm from every other, whichever its occurrence. */
export function alarmIdentity({ conveyor = '', takeup = '', signal = '', alarm }: PagedPlace): string {
  return [conveyor, takeup, signal, alarm].join('|');
}

/** @param sinceMs - where it is known that it rose before this event, as when it comes back from a shelf */
export function occurrenceOf(event: PagedEvent, sinceMs = event.timeMs): Occurrence {
  const { side, priority, value, limit, unit, to } = event;
  return {
    ...placeOf(event),
    ...(side === undefined ? {} : { side }),
    ...{ priority, value, limit, unit },
    sinceMs: Math.round(sinceMs),
    returned: to === 'returned-unacknowledged',
  };
}

/** 0 for the most pressing. */
export function pressing({ priority }: Pick<Occurrence, 'priority'>): number {
  return PRIORITIES.indexOf(priority);
}

/** The order of a list: by priority, then as the alarm list has it, then the longest standing. */
export function morePressing(a: Occurrence, b: Occurrence): number {
  return pressing(a) - pressing(b) || ALARM_KEYS.indexOf(a.alarm) - ALARM_KEYS.indexOf(b.alarm) || a.sinceMs - b.sinceMs;
}

type LoosePlace = { readonly [Key in keyof PagedPlace]: PagedPlace[Key] | undefined } & Pick<PagedPlace, 'alarm'>;

/** The place alone, of whatever has one. */
export function placeOf({ conveyor, takeup, signal, alarm }: LoosePlace): PagedPlace {
  return {
    ...(conveyor === undefined ? {} : { conveyor }),
    ...(takeup === undefined ? {} : { takeup }),
    ...(signal === undefined ? {} : { signal }),
    alarm,
  };
}
