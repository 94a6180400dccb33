import type { NoPageReason } from '../../../agent/flow/page/page-output.js';
import { localTime } from '../../../agent/units/local-time.js';
import type { AlarmPaging, PageTold } from '../../server/logic/answers.js';

/** What a person is told of calling people about an alarm. */
export interface PagingWords {
  /** In one line: who has it, who was called, or why nobody was. */
  readonly summary: string;
  /** Somebody should look: nobody could be reached, or somebody could not. */
  readonly trouble: boolean;
  /** A page was made. */
  readonly paged: boolean;
  /** Everything that happened, in order; nothing where the summary says it all. */
  readonly lines: readonly string[];
}

const SOON_MS = 60_000;
const DAY_MS = 24 * 3600_000;

/** @param nowMs - on the server's clock */
export function pagingWords(alarm: AlarmPaging, nowMs: number, timezone: string): PagingWords {
  const clock = (timeMs: number): string => {
    const { date, minutes } = localTime(timeMs, timezone);
    return Math.abs(nowMs - timeMs) < DAY_MS ? minutes : `${date} ${minutes}`;
  };
  const { pages, notes } = alarm;
  const lines = [
    ...pages.map((page) => ({ timeMs: page.madeMs, words: `${clock(page.madeMs)} ${pageLine(page, clock)}` })),
    ...notes.map(({ timeMs, reason, person }) => ({ timeMs, words: `${clock(timeMs)} ${noteLine(reason, person)}` })),
  ];
  const all = pages.length === 0 && notes.length < 2 ? [] : lines.toSorted((a, b) => a.timeMs - b.timeMs);
  return { ...summaryOf(alarm, nowMs, clock), paged: pages.length > 0, lines: all.map(({ words }) => words) };
}

type Clock = (timeMs: number) => string;

function summaryOf(alarm: AlarmPaging, nowMs: number, clock: Clock): Pick<PagingWords, 'summary' | 'trouble'> {
  const { pages, notes, dueMs, next, taken } = alarm;
  if (taken !== undefined) return { summary: `Taken by ${taken.by}, ${clock(taken.timeMs)}.`, trouble: false };
  if (pages.length > 0) {
    const people = [...new Set(pages.map(({ person }) => person))];
    const reached = people.flatMap((person) => {
      const first = pages.find((page) => page.person === person && page.state === 'delivered');
      return first === undefined ? [] : [`${person} ${clock(first.madeMs)}`];
    });
    const missed = people.filter((person) => !pages.some((page) => page.person === person && page.state === 'delivered'));
    const parts = [
      ...(reached.length > 0 ? [`Paged: ${reached.join(', ')}.`] : []),
      ...missed.map((person) => missedWords(person, pages.findLast((page) => page.person === person) as PageTold, clock)),
      ...(reached.length === 0 ? ['Nobody is reached yet.'] : []),
      ...(next !== undefined && next.atMs > nowMs ? [`Goes to ${toWords(next.to)} at ${clock(next.atMs)} if nobody takes it.`] : []),
    ];
    return { summary: parts.join(' '), trouble: missed.length > 0 };
  }
  if (dueMs !== undefined)
    return {
      summary: dueMs - nowMs < SOON_MS ? 'A page is about to go out.' : `The first page goes out at ${clock(dueMs)}.`,
      trouble: false,
    };
  const note = notes.at(-1);
  if (note === undefined) return { summary: 'No page about it is on record.', trouble: false };
  return { summary: noteWords(note.reason, note.person), trouble: note.reason === 'nobody-on-call' || note.reason === 'no-channel' };
}

function missedWords(person: string, { state, nextMs }: PageTold, clock: Clock): string {
  if (state === 'failed') return `${person} could not be reached.`;
  return `The page to ${person} has not gone through yet${nextMs === undefined ? '' : `, next try ${clock(nextMs)}`}.`;
}

const BY: Readonly<Record<PageTold['channel'], { readonly what: string; readonly taker: string }>> = {
  email: { what: 'Mail', taker: 'the mail server' },
  webhook: { what: 'Message', taker: 'the message gateway' },
};

function pageLine({ person, channel, state, tries, nextMs, settledMs, said, alarms }: PageTold, clock: Clock): string {
  const { what, taker } = BY[channel];
  const others = alarms > 2 ? `, with ${alarms - 1} other alarms` : alarms === 2 ? ', with another alarm' : '';
  const answer = said === undefined ? '' : `: ${said}`;
  const head = `${what} to ${person}${others}`;
  if (state === 'delivered') return `${head}: taken by ${taker}${settledMs === undefined ? '' : `, ${clock(settledMs)}`}`;
  if (state === 'failed') return `${head}: NOT delivered${settledMs === undefined ? '' : `, given up ${clock(settledMs)}`}${answer}`;
  if (tries === 0) return `${head}: on its way`;
  const tried = `${tries} ${tries === 1 ? 'try' : 'tries'}`;
  return `${head}: waits after ${tried}${nextMs === undefined ? '' : `, next ${clock(nextMs)}`}${answer}`;
}

/** Why no page went out, for whoever looks at the alarm now. */
const REASONS: Readonly<Record<NoPageReason, string>> = {
  'not-configured': 'Nobody is paged: the site file sets up no paging.',
  'no-ladder': 'Nobody is paged: for alarms of this priority the site file pages nobody.',
  'about-a-page': 'Nobody is paged about this: it is shown here and on the wall.',
  shelved: 'Nobody was paged: it was shelved.',
  'suppressed-by-design': 'Nobody was paged: it was suppressed by design.',
  'out-of-service': 'Nobody was paged: it was out of service.',
  acknowledged: 'Nobody was paged: it was acknowledged before the page was due.',
  'over-before-page': 'Nobody was paged: it was over before the page was due.',
  joined: 'It is told with the next page of a call that had just gone out.',
  'already-paged': 'No further page: they were told before, and that call is still open.',
  'earlier-page-on-its-way': 'No further page: one before it has not gone through yet.',
  'nobody-on-call': 'Nobody was paged: nobody is on call now.',
  'no-channel': 'Nobody was paged: no channel is set up.',
};

function noteWords(reason: string, person: string | undefined): string {
  if (person !== undefined && reason === 'no-channel') return `${person} was not paged: no channel that is set up reaches them.`;
  return (REASONS as Readonly<Record<string, string>>)[reason] ?? `No page: ${reason}.`;
}

function noteLine(reason: string, person: string | undefined): string {
  const words = noteWords(reason, person).replace(/\.$/, '');
  return person === undefined || words.startsWith(person) ? words : `${person}: ${words}`;
}

const ROLES: Readonly<Record<string, string>> = {
  'on-call': 'whoever is on call',
  'next-on-call': 'the next on call',
  everyone: 'everyone',
};

function toWords(to: string): string {
  return ROLES[to] ?? to;
}
