import { PRIORITIES } from '../alarm-key.js';
import { ALARM_TEXTS } from '../alarm/texts.js';
import type { Site } from '../../site/site.js';
import { localTime } from '../../units/local-time.js';
import { figureWords } from './figure-words.js';
import type { Occurrence } from './occurrence.js';
import type { PageOut } from './page-output.js';

/** A page in words. */
export interface PageWords {
  /** One line, for a list of mails. */
  readonly subject: string;
  /** One line of at most 160 characters, as a text message takes. */
  readonly short: string;
  /** All of it, in plain text. */
  readonly text: string;
}

/** Where the link of an alarm leads; undefined where pages carry no links. */
export type LinkOf = (alarm: Occurrence) => string | undefined;

/** So many alarms are told in full, and so many in the list; nobody reads more on a telephone. */
const IN_FULL = 3;
const IN_LIST = 20;
const SHORT_LENGTH = 160;

const ROLE_WORDS: Readonly<Record<string, string>> = { 'on-call': 'whoever is on call', 'next-on-call': 'the next on call' };

export const PAGE_CAUTIONS =
  'Takeline is not a safety device and stops nothing. Lock out, tag out and block stored energy before opening anything; the carriage can move ' +
  "without warning. Follow the site's own procedure; a qualified person decides.";

/** What a page says: which take-up and where it hangs, what is seen, since when, what to do, the link, and what this tool is not. */
export function pageWords(page: PageOut, site: Site, linkOf: LinkOf): PageWords {
  const { alarms } = page;
  const [first] = alarms;
  if (first === undefined) throw new Error('a page is about at least one alarm');
  const head = `[${first.priority.toUpperCase()}] ${alarms.length === 1 ? headline(first, site) : `${String(alarms.length)} alarms, first: ${headline(first, site)}`}`;
  const subject = page.round > 1 && page.again ? `${head} (call ${String(page.round)})` : head;
  const listed = alarms.slice(0, IN_LIST);
  const lines = [
    ...(alarms.length === 1 ? [] : [`${countWords(alarms)}.`, '']),
    ...listed.slice(0, IN_FULL).flatMap((alarm) => [...inFull(alarm, site, linkOf(alarm)), '']),
    ...listed.slice(IN_FULL).flatMap((alarm) => inList(alarm, site, linkOf(alarm))),
    ...(alarms.length > IN_LIST ? [`and ${String(alarms.length - IN_LIST)} more: see the Alarms page.`] : []),
    ...(listed.length > IN_FULL ? [''] : []),
    ...nextWords(page, site),
    PAGE_CAUTIONS,
  ];
  return { subject, short: cut(`${head}, since ${clock(first.sinceMs, site)}`), text: `${lines.join('\n')}\n` };
}

/** What is said at the top of a page that could not be delivered at once. @returns undefined where nobody would notice */
export function delayWords(madeMs: number, sentMs: number, { timezone }: Pick<Site, 'timezone'>): string | undefined {
  const minutes = Math.floor((sentMs - madeMs) / 60_000);
  if (minutes < 1) return undefined;
  const late = minutes < 60 ? `${String(minutes)} min` : `${String(Math.floor(minutes / 60))} h ${String(minutes % 60)} min`;
  const { date, minutes: time } = localTime(madeMs, timezone);
  return `Delayed by ${late}: written ${date} ${time} (${timezone}) and could not be delivered before. See how things stand now.`;
}

function headline(alarm: Occurrence, site: Site): string {
  return `${placeWords(alarm, site)}: ${ALARM_TEXTS[alarm.alarm].seen}`;
}

function placeWords({ conveyor, takeup, signal, side }: Occurrence, site: Site): string {
  const line = site.conveyors.find(({ id }) => id === conveyor);
  if (line === undefined) return site.name;
  const what = takeup === undefined ? (signal ?? '') : `take-up ${takeup}${side === undefined ? '' : `, ${side} side`}`;
  return what === '' ? line.name : `${line.name}, ${what}`;
}

function inFull(alarm: Occurrence, site: Site, link: string | undefined): readonly string[] {
  const { seen, consequence, action, respondWithinMin } = ALARM_TEXTS[alarm.alarm];
  const line = site.conveyors.find(({ id }) => id === alarm.conveyor);
  const location = line?.takeups.find(({ id }) => id === alarm.takeup)?.location;
  return [
    `${alarm.priority.toUpperCase()}: ${seen}`,
    `Where: ${placeWords(alarm, site)}${location === undefined ? '' : ` (${location})`}`,
    `Seen: ${figureWords(alarm, site.units)}${alarm.signal === undefined ? '' : `; sensor ${alarm.signal}`}`,
    `Since: ${clock(alarm.sinceMs, site)} (${site.timezone})${alarm.returned ? '; the condition is over for now' : ''}`,
    `If nobody acts: ${consequence}`,
    `What to do: ${action}`,
    `Respond within: ${duration(respondWithinMin)}`,
    ...(link === undefined ? [] : [`Acknowledge this alarm: ${link}`]),
  ];
}

function inList(alarm: Occurrence, site: Site, link: string | undefined): readonly string[] {
  const line = `${alarm.priority}: ${headline(alarm, site)} ${figureWords(alarm, site.units)}, since ${clock(alarm.sinceMs, site)}`;
  return [line, ...(link === undefined ? [] : [`  ${link}`])];
}

function countWords(alarms: readonly Occurrence[]): string {
  const counts = PRIORITIES.map((priority) => [priority, alarms.filter((alarm) => alarm.priority === priority).length] as const);
  const parts = counts.filter(([, count]) => count > 0).map(([priority, count]) => `${String(count)} ${priority}`);
  return `${String(alarms.length)} alarms: ${parts.join(', ')}; the most pressing first`;
}

function nextWords({ next, round, person }: PageOut, site: Site): readonly string[] {
  const name = site.people.find(({ id }) => id === person)?.name ?? person;
  const to = next && (ROLE_WORDS[next.to] ?? site.people.find(({ id }) => id === next.to)?.name ?? next.to);
  const then =
    next === undefined ? '' : ` If nobody acknowledges by ${localTime(next.atMs, site.timezone).minutes}, this goes to ${String(to)}.`;
  return [`Page ${String(round)} to ${name}.${then}`, ''];
}

function clock(timeMs: number, { timezone }: Site): string {
  const { date, seconds } = localTime(timeMs, timezone);
  return `${date} ${seconds}`;
}

function duration(minutes: number): string {
  if (minutes < 60) return `${String(minutes)} min`;
  return minutes < 48 * 60 ? `${String(minutes / 60)} h` : `${String(minutes / 1440)} days`;
}

function cut(text: string): string {
  return text.length <= SHORT_LENGTH ? text : `${text.slice(0, SHORT_LENGTH - 1)}…`;
}
