/** A moment as the clock on the wall of the site has it. */
export interface LocalTime {
  /** `YYYY-MM-DD` */
  readonly date: string;
  /** `HH:MM` */
  readonly minutes: string;
  /** `HH:MM:SS` */
  readonly seconds: string;
}

/** The tag decides nothing that is shown, since only the parts are taken; a browser's own tag may be one that Intl refuses. */
const ANY_LOCALE = 'en-GB';

const formats = new Map<string, Intl.DateTimeFormat>();

/**
 * Date and time of day in a time zone, in the order of ISO 8601.
 *
 * @param timeMs - epoch ms
 * @param timezone - IANA name; one that this system does not know falls back to UTC rather than leave a screen blank
 */
export function localTime(timeMs: number, timezone: string): LocalTime {
  const parts = new Map(
    formatFor(timezone)
      .formatToParts(timeMs)
      .map(({ type, value }) => [type, value]),
  );
  const part = (type: Intl.DateTimeFormatPartTypes): string => parts.get(type) ?? '';
  const minutes = `${part('hour')}:${part('minute')}`;
  return { date: `${part('year').padStart(4, '0')}-${part('month')}-${part('day')}`, minutes, seconds: `${minutes}:${part('second')}` };
}

const TYPED = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2})?$/;
const DAY_MS = 86_400_000;

/**
 * The instant that a date and time of day on the site's clock mean.
 *
 * @param typed - `2026-03-02T09:41`, seconds optional
 * @returns epoch ms; undefined where it is nothing of the kind, or the clock skips that time as daylight saving begins. Of the two
 *   instants that have the same time as it ends, the first.
 */
export function instantOfLocal(typed: string, timezone: string): number | undefined {
  if (!TYPED.test(typed)) return undefined;
  const asUtcMs = Date.parse(`${typed}Z`);
  if (Number.isNaN(asUtcMs)) return undefined;
  // The clock's offset a day before and a day after are the only two that can hold here.
  const candidates = [asUtcMs - DAY_MS, asUtcMs + DAY_MS].map((nearMs) => asUtcMs - offsetMs(nearMs, timezone));
  return candidates
    .toSorted((a, b) => a - b)
    .find((atMs) => {
      const { date, minutes } = localTime(atMs, timezone);
      return `${date}T${minutes}` === typed.slice(0, 16);
    });
}

/** How far the site's clock is ahead of UTC. */
function offsetMs(timeMs: number, timezone: string): number {
  const { date, seconds } = localTime(timeMs, timezone);
  return Date.parse(`${date}T${seconds}Z`) - Math.floor(timeMs / 1000) * 1000;
}

function formatFor(timezone: string): Intl.DateTimeFormat {
  let format = formats.get(timezone);
  if (format === undefined) {
    format = createFormat(timezone) ?? createFormat('UTC');
    if (format === undefined) throw new Error('this system does not know UTC');
    formats.set(timezone, format);
  }
  return format;
}

function createFormat(timezone: string): Intl.DateTimeFormat | undefined {
  try {
    return new Intl.DateTimeFormat(ANY_LOCALE, {
      timeZone: timezone,
      calendar: 'gregory',
      numberingSystem: 'latn',
      hourCycle: 'h23',
      year: 'numeric',
      month: '2-digit',
      day: '2-digit',
      hour: '2-digit',
      minute: '2-digit',
      second: '2-digit',
    });
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}
