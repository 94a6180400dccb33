import { formatNumber } from '../../../agent/units/display.js';
import { localTime } from '../../../agent/units/local-time.js';
import type { DiskAnswer } from '../../server/logic/answers.js';
import { daysWords } from './age.js';

/** One kind of what the history holds, and what becomes of it. */
export interface DiskLine {
  readonly what: string;
  readonly size: string;
  /** Of all that is taken, 0…1. */
  readonly share: number;
  readonly readings: string;
  readonly kept: string;
}

/** A sentence about what is to come; one that somebody should act on says so. */
export interface DiskSentence {
  readonly text: string;
  readonly needsSomeone: boolean;
}

const DAY_MS = 86_400_000;
const STEP = 1024;
const UNITS = ['bytes', 'kB', 'MB', 'GB', 'TB'] as const;
/** From less than this much of history nothing is reckoned. */
const LEAST_DAYS = 0.5;
/** With less than this left on the disk nothing else matters. */
const LITTLE_BYTES = 500 * 2 ** 20;
/** As the agent does it: from here on room is made. */
const FULL = 0.95;

/** A size as `--max-disk` counts it: 1 GB is 1024 MB. */
export function sizeWords(bytes: number): string {
  const place = bytes < STEP ? 0 : Math.min(UNITS.length - 1, Math.floor(Math.log2(bytes) / 10));
  const value = bytes / STEP ** place;
  return `${formatNumber(value, place === 0 || value >= 100 ? 0 : value >= 10 ? 1 : 2)} ${UNITS[place] ?? ''}`;
}

function countWords(count: number): string {
  const inUnits = (unit: number, word: string): string => `${formatNumber(count / unit, count >= 100 * unit ? 0 : 1)} ${word}`;
  return count < 10_000 ? String(count) : count < 1e6 ? inUnits(1000, 'thousand') : inUnits(1e6, 'million');
}

/** What the history holds, by kind, largest room for choice first: raw readings, then what is kept for good. */
export function diskLines({ totalBytes, spareBytes, journal, blocks, recorder, figuresBytes, retention }: DiskAnswer): readonly DiskLine[] {
  const beside = Math.max(0, totalBytes - spareBytes - journal.bytes - blocks.bytes - recorder.bytes - figuresBytes);
  const rawKept = retention === null ? '' : daysOf(retention.rawDays);
  const line = (what: string, bytes: number, kept: string, readings?: number): DiskLine => ({
    ...{ what, kept, size: sizeWords(bytes), share: totalBytes === 0 ? 0 : bytes / totalBytes },
    readings: readings === undefined ? '' : countWords(readings),
  });
  return [
    line('Raw readings, packed', blocks.bytes, rawKept, blocks.readings),
    line('Raw readings as they came, to be packed', journal.bytes, rawKept, journal.readings),
    line('Raw readings around alarms, findings and work', recorder.bytes, 'for good', recorder.readings),
    line(
      'Minutes, hours, days, alarms, findings, service log, the agent’s state',
      figuresBytes,
      retention === null ? '' : `minutes ${daysOf(retention.minuteDays)}, all else for good`,
    ),
    line('Empty room in the file, taken by what comes next', spareBytes, ''),
    line('What is being written now', beside, ''),
  ];
}

/** What goes next, what it will come to, and whether there is room for it. */
export function diskSentences(disk: DiskAnswer, nowMs: number, timezone: string): readonly DiskSentence[] {
  const { retention, oldestMs, oldestMinuteMs } = disk;
  if (retention === null)
    return [calm('For how long history is kept is known here once an agent of this version was started.'), ...roomLeft(disk)];
  const goes = (what: string, sinceMs: number | null, days: number): DiskSentence[] =>
    sinceMs === null
      ? []
      : [calm(`${what} go back to ${dayOf(sinceMs, timezone)}; those of that day go on ${dayOf(sinceMs + days * DAY_MS, timezone)}.`)];
  const atLimit = retention.maxBytes !== undefined && disk.totalBytes - disk.spareBytes >= FULL * retention.maxBytes;
  const next = atLimit
    ? [
        urgent(
          `The history has come to what it may take, ${sizeWords(retention.maxBytes)}: the oldest raw readings, now of ${oldestMs === null ? 'none' : dayOf(oldestMs, timezone)}, go as new ones come.`,
        ),
      ]
    : goes('Raw readings', oldestMs, retention.rawDays);
  return [...next, ...goes('Minutes', oldestMinuteMs, retention.minuteDays), ...outlook(disk, retention, nowMs)];
}

/** What the raw readings will come to at the rate of those there are, beside the limit and the disk. */
function outlook(disk: DiskAnswer, retention: NonNullable<DiskAnswer['retention']>, nowMs: number): readonly DiskSentence[] {
  const { oldestMs, freeBytes } = disk;
  const free = roomLeft(disk);
  const days = oldestMs === null ? 0 : (nowMs - oldestMs) / DAY_MS;
  if (days < LEAST_DAYS) return free;
  const rawBytes = disk.journal.bytes + disk.blocks.bytes;
  const aDay = rawBytes / days;
  const wholeBytes = Math.max(rawBytes, aDay * retention.rawDays);
  const rest = disk.totalBytes - disk.spareBytes - rawBytes;
  const text = `At the present ${sizeWords(aDay)} a day, raw readings of ${daysWords(Math.round(retention.rawDays))} come to ${sizeWords(wholeBytes)}`;
  if (retention.maxBytes !== undefined && rest + wholeBytes > FULL * retention.maxBytes) {
    const room = Math.max(0, FULL * retention.maxBytes - rest);
    return [
      urgent(`${text}: there is room for ${daysWords(Math.floor(room / aDay))} of them. Allow more with --max-disk, or keep fewer days.`),
      ...free,
    ];
  }
  if (freeBytes !== null && wholeBytes - rawBytes > freeBytes + disk.spareBytes)
    return [
      urgent(
        `${text}, and the disk has only ${sizeWords(freeBytes)} left. Make room, keep fewer days, or set a limit with --max-disk: a full disk stops the journal.`,
      ),
    ];
  return [calm(`${text}.`), ...free];
}

function roomLeft({ freeBytes }: DiskAnswer): readonly DiskSentence[] {
  if (freeBytes === null) return [];
  return [
    freeBytes < LITTLE_BYTES
      ? urgent(`The disk has only ${sizeWords(freeBytes)} left. Make room: a full disk stops the journal.`)
      : calm(`The disk has ${sizeWords(freeBytes)} left.`),
  ];
}

function calm(text: string): DiskSentence {
  return { text, needsSomeone: false };
}

function urgent(text: string): DiskSentence {
  return { text, needsSomeone: true };
}

function daysOf(days: number): string {
  return days < 1.5 ? `${formatNumber(days * 24, 0)} hours` : `${formatNumber(days, Number.isInteger(days) ? 0 : 1)} days`;
}

function dayOf(ms: number, timezone: string): string {
  return localTime(ms, timezone).date;
}
