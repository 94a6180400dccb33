import { formatTime } from '../units/time.js';

const MINUTE_MS = 60_000;
const MINUTE_LENGTH = 'YYYY-MM-DDTHH:MM:'.length;

/** `formatTime` for many times that mostly follow one another: what is above the seconds is made once a minute. */
export class TimeText {
  #minute = NaN;
  #prefix = '';

  /** ISO 8601 UTC with milliseconds where there are any; `ms` is rounded to whole ones. */
  of(ms: number): string {
    const whole = Math.round(ms);
    const minute = Math.floor(whole / MINUTE_MS);
    if (minute !== this.#minute) {
      this.#prefix = formatTime(minute * MINUTE_MS).slice(0, MINUTE_LENGTH);
      this.#minute = minute;
    }
    const rest = whole - minute * MINUTE_MS;
    const second = Math.floor(rest / 1000);
    const millisecond = rest - second * 1000;
    const seconds = second < 10 ? `0${second}` : `${second}`;
    return millisecond === 0 ? `${this.#prefix}${seconds}Z` : `${this.#prefix}${seconds}.${String(millisecond).padStart(3, '0')}Z`;
  }
}
