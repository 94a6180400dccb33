import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Backlogs, type MessageNumber } from '../../broker/backlog.js';

const AGENT = { id: 'agent/edge-1' };
const message = (brokerCounter: number, brokerId = 'start-1'): MessageNumber => ({ brokerId, brokerCounter });

/** A queue as it is on disk: what is acknowledged is taken out. */
class Queue {
  messages: MessageNumber[] = [];

  constructor(readonly backlogs: Backlogs) {}

  add(one: MessageNumber): void {
    this.messages.push(one);
    this.backlogs.queued(AGENT.id, one);
  }

  acknowledge(one: MessageNumber): void {
    this.messages = this.messages.filter((other) => other !== one);
    this.backlogs.acknowledged(AGENT.id, one);
  }

  async *read(): AsyncGenerator<MessageNumber> {
    for (const one of [...this.messages]) yield await Promise.resolve(one);
  }
}

async function workOff(backlogs: Backlogs, queue: Queue, onMessage: (one: MessageNumber) => void = () => undefined): Promise<number[]> {
  const sent: number[] = [];
  for await (const one of backlogs.workOff(AGENT, () => queue.read())) {
    sent.push(one.brokerCounter);
    onMessage(one);
  }
  return sent;
}

describe('working off a queue', () => {
  it('sends what waited, then what came in meanwhile, each once, and holds that back until then', async () => {
    const backlogs = new Backlogs();
    const queue = new Queue(backlogs);
    queue.add(message(1));
    queue.add(message(2));
    backlogs.begin(AGENT);
    const sent = await workOff(backlogs, queue, (one) => {
      if (one.brokerCounter > 4) return;
      const next = message(one.brokerCounter + 10);
      queue.add(next);
      expect(backlogs.holdsBack(AGENT, next)).toBe(true);
    });
    expect(sent).toEqual([1, 2, 11, 12]);
    expect(backlogs.holdsBack(AGENT, message(12))).toBe(false);
  });

  it('does not take a message of an earlier start for one of the same number', async () => {
    const backlogs = new Backlogs();
    const queue = new Queue(backlogs);
    queue.add(message(1, 'start-1'));
    backlogs.begin(AGENT);
    let more = true;
    const sent = await workOff(backlogs, queue, () => {
      if (more) queue.add(message(1, 'start-2'));
      more = false;
    });
    expect(sent).toEqual([1, 1]);
  });

  it('ends where the previous connection of the client has taken what waited', async () => {
    const backlogs = new Backlogs();
    const queue = new Queue(backlogs);
    const [waited, taken] = [message(1), message(2)];
    queue.add(waited);
    backlogs.begin(AGENT);
    const sent = await workOff(backlogs, queue, (one) => {
      if (one !== waited) return;
      queue.add(taken);
      queue.acknowledge(taken);
    });
    expect(sent).toEqual([1]);
  });

  it('ends where what waits cannot be read, rather than look for it for ever', async () => {
    const backlogs = new Backlogs();
    const queue = new Queue(backlogs);
    backlogs.begin(AGENT);
    backlogs.queued(AGENT.id, message(7));
    expect(await workOff(backlogs, queue)).toEqual([]);
    expect(backlogs.holdsBack(AGENT, message(7))).toBe(false);
  });

  it('waits for acknowledgements before packet identifiers run out', async () => {
    const backlogs = new Backlogs();
    const queue = new Queue(backlogs);
    for (let number = 1; number <= 30_000; number++) queue.messages.push(message(number));
    backlogs.begin(AGENT);
    const reading = backlogs.workOff(AGENT, () => queue.read());
    const sent: MessageNumber[] = [];
    for (let count = 0; count < 20_000; count++) sent.push((await reading.next()).value as MessageNumber);
    let wentOn = false;
    const next = reading.next().then(() => (wentOn = true));
    await new Promise(setImmediate);
    expect(wentOn).toBe(false);
    backlogs.acknowledged(AGENT.id, sent[0]!);
    expect(await next).toBe(true);
  });

  it('lets go of a client that has gone while it waits', async () => {
    const backlogs = new Backlogs();
    const queue = new Queue(backlogs);
    for (let number = 1; number <= 20_000; number++) queue.messages.push(message(number));
    backlogs.begin(AGENT);
    const reading = backlogs.workOff(AGENT, () => queue.read());
    for (let count = 0; count < 20_000; count++) await reading.next();
    const end = reading.next();
    backlogs.end(AGENT);
    expect((await end).done).toBe(true);
  });

  it('does not confuse two connections of one client', () => {
    const backlogs = new Backlogs();
    const [before, now] = [{ ...AGENT }, { ...AGENT }];
    backlogs.begin(before);
    backlogs.begin(now);
    backlogs.queued(AGENT.id, message(1));
    backlogs.end(before);
    expect([backlogs.holdsBack(before, message(1)), backlogs.holdsBack(now, message(1))]).toEqual([false, true]);
  });

  it('sends every message once and in order, whenever it comes in', async () => {
    await fc.assert(
      fc.asyncProperty(fc.nat({ max: 20 }), fc.array(fc.nat({ max: 3 }), { maxLength: 40 }), async (waiting, arrivals) => {
        const backlogs = new Backlogs();
        const queue = new Queue(backlogs);
        let last = 0;
        for (let count = 0; count < waiting; count++) queue.add(message(++last));
        backlogs.begin(AGENT);
        const coming = [...arrivals];
        const sent = await workOff(backlogs, queue, () => {
          for (let count = coming.shift() ?? 0; count > 0; count--) queue.add(message(++last));
        });
        expect(sent).toEqual(Array.from({ length: last }, (_, index) => index + 1));
      }),
    );
  });
});
