/** An alarm that a page tells of; without a conveyor it is the site's own. */
export interface PagedAlarm {
  readonly conveyor?: string;
  readonly takeup?: string;
  readonly signal?: string;
  readonly alarm: string;
  /** When it rose, on the data's clock, whole ms. */
  readonly sinceMs: number;
}

/** What a page in the outbox is about, for whoever shows what became of it: kept in its body, under `about`. */
export interface PageAbout {
  /** All that it tells of, also where its text names only the first of them. */
  readonly alarms: readonly PagedAlarm[];
  /** What the page says will happen if nobody acknowledges: when, and to whom; absent after the last step. */
  readonly next?: { readonly atMs: number; readonly to: string };
}

const NOTHING: PageAbout = { alarms: [] };

/** @returns about nothing where the body is of a version that did not say */
export function readAbout(body: string): PageAbout {
  return (JSON.parse(body) as { readonly about?: PageAbout }).about ?? NOTHING;
}

/** What a page is about. */
export function pageAbout({ alarms, next }: PageAbout): PageAbout {
  return { alarms: alarms.map(pagedAlarm), ...(next && { next }) };
}

/** As much of an alarm as is kept. */
function pagedAlarm({ conveyor, takeup, signal, alarm, sinceMs }: PagedAlarm): PagedAlarm {
  return {
    ...(conveyor === undefined ? {} : { conveyor }),
    ...(takeup === undefined ? {} : { takeup }),
    ...(signal === undefined ? {} : { signal }),
    ...{ alarm, sinceMs },
  };
}
