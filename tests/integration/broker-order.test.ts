import { describe, expect, it } from 'vitest';
import { alarmTopic, eventTopic, inFilter, inTopic, nowTopic, outFilter } from '../../agent/contract/topics.js';
import { gather, signIn, startBroker } from './broker-client.js';

const SITE = 'alder-point';

describe('messages sent together', () => {
  it('all arrive, retained or not, acknowledged or not', async () => {
    const broker = await startBroker();
    const web = await signIn(broker, 'web');
    const received = gather(web);
    await web.subscribeAsync(outFilter(SITE), { qos: 1 });
    const agent = await signIn(broker, 'agent');
    const topics = [nowTopic(SITE, 'enamel', 'tu1'), eventTopic(SITE, 'enamel', 'tu1'), alarmTopic(SITE, 'enamel', 'tu1', 'stroke-low')];
    agent.stream.cork();
    let count = 0;
    const sent: Promise<unknown>[] = [];
    for (const topic of topics) {
      for (const retain of [true, false]) {
        for (const qos of [1, 0] as const) sent.push(agent.publishAsync(topic, String(count++), { qos, retain }));
      }
    }
    agent.stream.uncork();
    await Promise.all(sent);
    expect(new Set(await received.first(count))).toEqual(new Set(Array.from({ length: count }, (_, index) => String(index))));
  });

  it('arrive in order at an agent that keeps its session, at any pace of its acknowledgements', async () => {
    const broker = await startBroker();
    let handled = 0;
    const agent = await signIn(broker, 'agent', {
      clientId: 'edge-1',
      clean: false,
      onClient: (client) => {
        // Every hundredth message takes longer than the broker gathers its writes: some queue entries are on disk, some still in memory.
        client.handleMessage = (_packet, done) => {
          handled++;
          if (handled % 100 === 0) setTimeout(done, 80);
          else done();
        };
      },
    });
    const received = gather(agent);
    await agent.subscribeAsync(inFilter(SITE), { qos: 1 });
    const sensor = await signIn(broker, 'sensor');
    const all = Array.from({ length: 1000 }, (_, index) => String(index));
    await Promise.all(all.map((text) => sensor.publishAsync(inTopic(SITE, 'enamel/tu1/left/position'), text, { qos: 1 })));
    expect(await received.first(all.length)).toEqual(all);
  });
});
