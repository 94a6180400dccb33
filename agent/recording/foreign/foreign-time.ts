import { parseTime } from '../../units/time.js';

/** What a time of a foreign file turned out to be. */
export type ForeignTime =
  | { readonly ok: true; readonly timeMs: number; readonly ambiguous: boolean }
  /** `skipped`: the clock jumps over that time as daylight saving begins. */
  | { readonly ok: false; readonly why: 'unreadable' | 'skipped' };

const UNREADABLE: ForeignTime = { ok: false, why: 'unreadable' };
const TOKENS = /YYYY|YY|MM|M|DD|D|HH|H|hh|h|mm|ss|SSS|A/g;
const DIGITS: Readonly<Record<string, string>> = { YYYY: '(\\d{4})', SSS: '(\\d{1,9})', A: '([AaPp])\\.?[Mm]\\.?' };
const ISO_LOCAL = 'YYYY-MM-DDTHH:mm:ss.SSS';
/** No zone changes its clock but on a quarter of an hour. */
const QUARTER_MS = 900_000;
const DAY_MS = 86_400_000;
/** A file whose times go back by more than this begins anew, as with the next signal: that is no clock put back. */
const TWICE_MS = 2 * 3600_000;

/** Reads the times of a foreign file: with an offset, as an epoch, or by a pattern on the clock of a zone. */
export class ForeignTimes {
  private readonly pattern: RegExp | undefined;
  private readonly tokens: readonly string[];
  private readonly clock: Intl.DateTimeFormat | undefined;
  /** The instants less the local time, for the quarter of an hour asked for last. */
  private offsets: readonly number[] = [];
  private quarter = NaN;

  constructor(
    private readonly format: string,
    zone: string | undefined,
  ) {
    const local = format === 'iso' ? ISO_LOCAL : format;
    this.tokens = local.match(TOKENS) ?? [];
    this.pattern = format.startsWith('epoch') ? undefined : patternOf(local);
    this.clock =
      zone === undefined
        ? undefined
        : new Intl.DateTimeFormat('en-GB', {
            ...{ timeZone: zone, calendar: 'gregory', numberingSystem: 'latn', hourCycle: 'h23' },
            ...{ year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', second: '2-digit' },
          });
  }

  /**
   * @param afterMs - the time before it in the file: of two instants with the same local time the second is meant where the first lies
   *   before that
   */
  read(text: string, afterMs: number): ForeignTime {
    if (this.format === 'epoch-s' || this.format === 'epoch-ms') {
      const number = text.trim() === '' ? NaN : Number(text);
      const timeMs = Math.round(this.format === 'epoch-s' ? number * 1000 : number);
      return Math.abs(timeMs) < 8.64e15 ? { ok: true, timeMs, ambiguous: false } : UNREADABLE;
    }
    const own = this.format === 'iso' ? parseTime(text) : undefined;
    if (own !== undefined) return { ok: true, timeMs: own, ambiguous: false };
    const localMs = this.localMs(text);
    if (Number.isNaN(localMs)) return UNREADABLE;
    // Without a zone there is no knowing when it was.
    if (this.clock === undefined) return UNREADABLE;
    const [first, second] = this.offsetsAt(localMs);
    if (first === undefined) return { ok: false, why: 'skipped' };
    if (second === undefined) return { ok: true, timeMs: localMs - first, ambiguous: false };
    const backMs = afterMs - (localMs - first);
    const timeMs = backMs > 0 && backMs <= TWICE_MS ? localMs - second : localMs - first;
    return { ok: true, timeMs, ambiguous: true };
  }

  private localMs(text: string): number {
    const found = this.pattern?.exec(text.trim());
    if (!found) return NaN;
    const parts = new Map(this.tokens.map((token, index) => [token, found[index + 1] ?? '']));
    const number = (...tokens: readonly string[]): number =>
      Number(tokens.map((token) => parts.get(token)).find((part) => part !== undefined && part !== '') ?? 0);
    const year = parts.has('YY') && !parts.has('YYYY') ? 2000 + number('YY') : number('YYYY');
    const [month, day, minute, second] = [number('MM', 'M'), number('DD', 'D'), number('mm'), number('ss')];
    const half = parts.get('A')?.toLowerCase();
    const clock = number('HH', 'H', 'hh', 'h');
    const hour = half === undefined ? clock : (clock % 12) + (half === 'p' ? 12 : 0);
    if (month < 1 || month > 12 || hour > 23 || minute > 59 || second > 59) return NaN;
    const ms = Date.UTC(year, month - 1, day, hour, minute, second) + Math.round(1000 * Number(`0.${parts.get('SSS') || '0'}`));
    // The 30th of February is no day.
    return new Date(ms).getUTCDate() === day ? ms : NaN;
  }

  /** How far the zone's clock is ahead at a local time: the earlier instant's first; none where the clock skips it, two where it comes twice. */
  private offsetsAt(localMs: number): readonly number[] {
    const quarter = Math.floor(localMs / QUARTER_MS);
    if (quarter !== this.quarter) {
      this.quarter = quarter;
      const start = quarter * QUARTER_MS;
      const candidates = [...new Set([this.aheadMs(start - DAY_MS), this.aheadMs(start + DAY_MS)])];
      this.offsets = candidates.filter((ahead) => this.aheadMs(start - ahead) === ahead).sort((a, b) => b - a);
    }
    return this.offsets;
  }

  private aheadMs(timeMs: number): number {
    const parts = new Map(this.clock?.formatToParts(timeMs).map(({ type, value }) => [type, Number(value)]));
    const part = (type: string): number => parts.get(type as Intl.DateTimeFormatPartTypes) ?? 0;
    return Date.UTC(part('year'), part('month') - 1, part('day'), part('hour'), part('minute'), part('second')) - timeMs;
  }
}

function patternOf(format: string): RegExp {
  let source = '';
  let from = 0;
  for (const found of format.matchAll(TOKENS)) {
    source += escaped(format.slice(from, found.index)) + (DIGITS[found[0]] ?? '(\\d{1,2})');
    from = found.index + found[0].length;
  }
  source += escaped(format.slice(from));
  // Seconds and their fraction may be left out where the file leaves them out.
  source = source.replace(/:\(\\d\{1,2\}\)(?:([.,\\]+)\(\\d\{1,9\}\))?$/, (seconds, mark?: string) =>
    mark === undefined ? seconds : '(?::(\\d{1,2})(?:[.,](\\d{1,9}))?)?',
  );
  return new RegExp(`^${source}$`);
}

function escaped(text: string): string {
  return text.replaceAll(/[.*+?^${}()|[\]\\/]/g, '\\$&').replaceAll('T', '[T ]');
}
