import { describe, expect, it } from 'vitest';
import type { PageOut } from '../../../agent/flow/page/page-output.js';
import { delayWords, PAGE_CAUTIONS, pageWords } from '../../../agent/flow/page/page-words.js';
import { DeskWithClock, pagedSite, START_MS } from './desk.js';

function pageOf(desk: DeskWithClock): PageOut {
  const page = desk.said().find((output) => output.kind === 'page');
  if (page === undefined) throw new Error('nobody was paged');
  return page;
}

const linkOf = ({ alarm }: { readonly alarm: string }): string => `https://takeline.example/ack/${alarm}`;

describe('a page in words', () => {
  const site = pagedSite();
  const words = pageWords(pageOf(new DeskWithClock(site).rises('spring-solid').after(1)), site, linkOf);

  it('says which take-up and where it hangs, what is seen and its limit, since when, what happens, what to do, and where to acknowledge', () => {
    expect(words.subject).toBe('[URGENT] Enamel furnace line, take-up tu1: A spring is wound solid: its coils touch.');
    expect(words.text.split('\n').slice(0, 8)).toEqual([
      'URGENT: A spring is wound solid: its coils touch.',
      'Where: Enamel furnace line, take-up tu1 (column C14, after the drive)',
      'Seen: spring length 150.6\u00a0mm, limit 151.0\u00a0mm',
      'Since: 2026-01-06 10:00:00 (Europe/Oslo)',
      'If nobody acts: The spring no longer limits the tension; chain, pins and drive take the whole pull.',
      "What to do: Stop by the site's own procedure and look for a caught or overloaded chain. Lock out and tag out, and block the springs and chain, before opening anything.",
      'Respond within: 5 min',
      'Acknowledge this alarm: https://takeline.example/ack/spring-solid',
    ]);
  });

  it('says what comes next, and that this is no safety device', () => {
    expect(words.text).toContain('Page 1 to Marta. If nobody acknowledges by 10:05, this goes to the next on call.');
    expect(words.text).toContain(PAGE_CAUTIONS);
    expect(words.text).toContain('not a safety device');
  });

  it('speaks in the units of the site', () => {
    const imperial = pagedSite(['units: metric', 'units: imperial']);
    const { text } = pageWords(pageOf(new DeskWithClock(imperial).rises('spring-solid').after(1)), imperial, linkOf);
    expect(text).toContain('Seen: spring length 5.93\u00a0in, limit 5.94\u00a0in');
  });

  it('says of an agent that took its leave that it has ended, not for how long it was silent', () => {
    const page = pageOf(new DeskWithClock(site).rises('spring-solid').after(1));
    const gone = page.alarms.map((alarm) => ({ ...alarm, alarm: 'agent-silent' as const, value: 0, limit: 30, unit: 's' }));
    expect(pageWords({ ...page, alarms: gone }, site, linkOf).text).toContain('Seen: the agent has ended');
    const silent = gone.map((alarm) => ({ ...alarm, value: 45 }));
    expect(pageWords({ ...page, alarms: silent }, site, linkOf).text).toContain('Seen: silent for 45\u00a0s, limit 30\u00a0s');
  });

  it('fits a text message in short', () => {
    expect(words.short.length).toBeLessThanOrEqual(160);
    expect(words.short).toMatch(/^\[URGENT\] Enamel furnace line, take-up tu1/u);
  });

  it('has no link where none is set up', () => {
    const { text } = pageWords(pageOf(new DeskWithClock(site).rises('spring-solid').after(1)), site, () => undefined);
    expect(text).not.toContain('Acknowledge this alarm');
  });

  it('of a flood has the most pressing first, the counts, and how many more there are', () => {
    const desk = new DeskWithClock(site);
    for (let at = 0; at < 499; at++) desk.rises('stroke-low', { takeup: `t${String(at)}` });
    const { subject, text } = pageWords(pageOf(desk.rises('spring-solid').after(3)), site, linkOf);
    expect(subject).toMatch(/^\[URGENT\] 500 alarms, first: Enamel furnace line, take-up tu1: A spring is wound solid/u);
    expect(text).toMatch(/^500 alarms: 1 urgent, 499 medium; the most pressing first\.\n\nURGENT: A spring is wound solid/u);
    expect(text).toContain('and 480 more: see the Alarms page.');
    expect(text.length).toBeLessThan(8000);
  });

  it('says so when it is a repetition', () => {
    const desk = new DeskWithClock(site).rises('spring-solid').after(26 * 60);
    const again = desk.said().filter((output) => output.kind === 'page' && output.person === 'marta');
    expect(again.map((page) => pageWords(page as PageOut, site, linkOf).subject.endsWith('(call 4)'))).toEqual([false, true]);
  });
});

describe('a page that is late', () => {
  it('says by how much, and when it was written', () => {
    const site = pagedSite();
    expect(delayWords(START_MS, START_MS + 59_000, site)).toBeUndefined();
    expect(delayWords(START_MS, START_MS + 12 * 60_000, site)).toMatch(/^Delayed by 12 min: written 2026-01-06 10:00 \(Europe\/Oslo\)/u);
    expect(delayWords(START_MS, START_MS + 61 * 60_000, site)).toMatch(/^Delayed by 1 h 1 min/u);
  });
});
