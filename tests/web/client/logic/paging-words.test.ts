import { describe, expect, it } from 'vitest';
import type { AlarmPaging, PageTold } from '../../../../web/server/logic/answers.js';
import { pagingWords } from '../../../../web/client/logic/paging-words.js';

const AT_MS = Date.parse('2026-03-02T09:00:00Z');
const MINUTE_MS = 60_000;

const page = (different: Partial<PageTold> = {}): PageTold => ({
  ...{ person: 'Marta', channel: 'email', madeMs: AT_MS, state: 'delivered', tries: 1, settledMs: AT_MS + 1000, alarms: 1 },
  ...different,
});
const words = (alarm: Partial<AlarmPaging>, afterMs = MINUTE_MS) =>
  pagingWords({ id: 'a', pages: [], notes: [], ...alarm }, AT_MS + afterMs, 'Europe/Oslo');

describe('what a shift leader reads of calling people', () => {
  it('is who was paged when, and who is next', () => {
    const next = { atMs: AT_MS + 5 * MINUTE_MS, to: 'next-on-call' };
    expect(words({ pages: [page()], next })).toEqual({
      summary: 'Paged: Marta 10:00. Goes to the next on call at 10:05 if nobody takes it.',
      trouble: false,
      paged: true,
      lines: ['10:00 Mail to Marta: taken by the mail server, 10:00'],
    });
    expect(words({ pages: [page()], next }, 6 * MINUTE_MS).summary).toBe('Paged: Marta 10:00.');
  });

  it('is who has it, before anything else', () => {
    expect(words({ pages: [page()], taken: { by: 'Marta', timeMs: AT_MS + MINUTE_MS } }).summary).toBe('Taken by Marta, 10:01.');
  });

  it('says that a page has not gone through, and when it is tried again', () => {
    const waiting = page({
      state: 'waiting',
      tries: 3,
      nextMs: AT_MS + 2 * MINUTE_MS,
      said: 'connection refused',
      settledMs: undefined as never,
    });
    const { summary, trouble, lines } = words({ pages: [waiting] });
    expect(summary).toBe('The page to Marta has not gone through yet, next try 10:02. Nobody is reached yet.');
    expect(trouble).toBe(true);
    expect(lines).toEqual(['10:00 Mail to Marta: waits after 3 tries, next 10:02: connection refused']);
  });

  it('says who could not be reached beside those who were', () => {
    const lost = page({ person: 'Jonas', channel: 'webhook', state: 'failed', said: 'HTTP 404', alarms: 3 });
    const told = words({ pages: [page(), lost] });
    expect(told.summary).toBe('Paged: Marta 10:00. Jonas could not be reached.');
    expect(told.trouble).toBe(true);
    expect(told.lines[1]).toBe('10:00 Message to Jonas, with 2 other alarms: NOT delivered, given up 10:00: HTTP 404');
  });

  it('counts somebody as reached whom one of two channels reached', () => {
    expect(words({ pages: [page({ channel: 'webhook', state: 'failed' }), page()] })).toMatchObject({
      summary: 'Paged: Marta 10:00.',
      trouble: false,
    });
  });

  it.each([
    ['not-configured', /sets up no paging/, false],
    ['no-ladder', /alarms of this priority/, false],
    ['nobody-on-call', /nobody is on call/, true],
    ['shelved', /it was shelved/, false],
    ['a-new-reason', /^No page: a-new-reason\.$/, false],
  ])('says why nobody was paged: %s', (reason, said, trouble) => {
    const told = words({ notes: [{ timeMs: AT_MS, reason }] });
    expect(told.summary).toMatch(said);
    expect(told.trouble).toBe(trouble);
  });

  it('names whom no channel reaches', () => {
    expect(words({ notes: [{ timeMs: AT_MS, reason: 'no-channel', person: 'Ola' }] }).summary).toBe(
      'Ola was not paged: no channel that is set up reaches them.',
    );
  });

  it('says when the first page is due', () => {
    expect(words({ dueMs: AT_MS + 10 * MINUTE_MS }).summary).toBe('The first page goes out at 10:10.');
    expect(words({ dueMs: AT_MS + MINUTE_MS + 5000 }).summary).toBe('A page is about to go out.');
  });

  it('says plainly that nothing is kept', () => {
    expect(words({}).summary).toBe('No page about it is on record.');
  });

  it('gives the day where it was not today', () => {
    expect(words({ pages: [page()] }, 3 * 24 * 60 * MINUTE_MS).summary).toBe('Paged: Marta 2026-03-02 10:00.');
  });
});
