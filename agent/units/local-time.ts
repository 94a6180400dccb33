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
