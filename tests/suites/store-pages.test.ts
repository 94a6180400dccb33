import { describe, expect, it } from 'vitest';
import type { PageMessage } from '../../agent/store/page-outbox.js';
import { event, START_MS } from '../store/samples.js';
import { TWINS } from '../store/store-twins.js';

const message = (changed: Partial<PageMessage> = {}): PageMessage => ({
  ...{ id: 'call-a/1/marta/email', call: 'call-a', person: 'marta', channel: 'email', address: 'marta@alder-point.example' },
  ...{ madeMs: START_MS, body: '{"subject":"Spring solid"}' },
  ...changed,
});

describe.each(TWINS)('the outbox in $name', ({ make }) => {
  it('keeps where paging stands, with the pages that follow from it', async () => {
    const store = make();
    const writer = await store.writer();
    expect(await writer.pages.load()).toBeUndefined();
    await writer.pages.write({
      eventNr: 3,
      state: '{"calls":1}',
      messages: [message()],
      notes: [{ timeMs: START_MS, reason: 'no-ladder' }],
    });
    await writer.stop();
    const again = await store.writer();
    expect(await again.pages.load()).toEqual({ eventNr: 3, state: '{"calls":1}' });
    expect(await again.pages.waiting()).toEqual([{ ...message(), state: 'waiting', tries: 0, nextMs: START_MS }]);
  });

  it('holds a page once, however often it is written, also when it was delivered meanwhile', async () => {
    const store = make();
    const { pages } = await store.writer();
    const step = { eventNr: 1, state: '{}', messages: [message()], notes: [] };
    await pages.write(step);
    await pages.settle(message().id, 'delivered', 1, START_MS + 5, '250 taken');
    await pages.write(step);
    expect(await pages.waiting()).toEqual([]);
    expect(await (await store.reader()).pageMessages(10)).toEqual([
      { ...message(), state: 'delivered', tries: 1, nextMs: START_MS, settledMs: START_MS + 5, said: '250 taken' },
    ]);
  });

  it('tells a screen what was done since a time: where calls stand, pages and why there were none', async () => {
    const store = make();
    const { pages } = await store.writer();
    const note = { timeMs: START_MS, reason: 'no-ladder', conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-low' };
    const old = { ...message({ id: 'old', madeMs: START_MS - 1 }) };
    await pages.write({ eventNr: 3, state: '{"calls":[]}', messages: [old, message()], notes: [{ ...note, timeMs: START_MS - 1 }, note] });
    expect(await (await store.reader()).paging(START_MS)).toEqual({
      state: { eventNr: 3, state: '{"calls":[]}' },
      messages: [{ ...message(), state: 'waiting', tries: 0, nextMs: START_MS }],
      notes: [note],
    });
  });

  it('keeps all of a step or nothing', async () => {
    const { pages } = await make().writer();
    const broken = { ...message({ id: 'b' }), body: undefined as unknown as string };
    await expect(pages.write({ eventNr: 9, state: '{}', messages: [message(), broken], notes: [] })).rejects.toThrow();
    expect(await pages.load()).toBeUndefined();
    expect(await pages.waiting()).toEqual([]);
  });

  it('remembers each try, and what the other side said', async () => {
    const { pages } = await make().writer();
    await pages.write({ eventNr: 1, state: '{}', messages: [message(), message({ id: 'second', channel: 'webhook' })], notes: [] });
    await pages.retry(message().id, 1, START_MS + 5000, 'connection refused');
    expect(await pages.waiting()).toMatchObject([
      { id: message().id, tries: 1, nextMs: START_MS + 5000, said: 'connection refused' },
      { id: 'second', tries: 0 },
    ]);
    await pages.settle('second', 'failed', 1, START_MS, '410 gone');
    expect(await pages.waiting()).toMatchObject([{ id: message().id }]);
  });

  it('gives the alarm events after a number, in the order in which they were written', async () => {
    const writer = await make().writer();
    expect(await writer.pages.lastEventNr()).toBe(0);
    const events = Array.from({ length: 1200 }, (_, at) => event({ id: `e${String(at)}`, timeMs: START_MS - at }));
    await writer.writeOutputs({ events });
    const read: string[] = [];
    for (let nr = 0; ;) {
      const page = await writer.pages.eventsAfter(nr);
      const last = page.at(-1);
      if (last === undefined) break;
      read.push(...page.map(({ event: { id } }) => id));
      nr = last.nr;
    }
    expect(read).toEqual(events.map(({ id }) => id));
    expect(await writer.pages.lastEventNr()).toBe(1200);
  });
});
