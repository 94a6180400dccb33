// The other two processes of the live benchmark: the bare broker, and a publisher that sends as fast as it is let.
import { createServer } from 'node:net';
import { Aedes } from 'aedes';
import { connectAsync } from 'mqtt';

const [what, url, count, ...topics] = process.argv.slice(2);

if (what === 'broker') {
  const aedes = await Aedes.createBroker();
  const server = createServer(aedes.handle);
  server.listen(0, '127.0.0.1', () => process.send(server.address().port));
} else {
  const client = await connectAsync(url);
  const start = Date.now() - 60_000;
  for (let i = 0; i < Number(count); i++) {
    const turn = Math.floor(i / topics.length);
    // Ten readings a second of each sensor, on a clock that runs faster than ours.
    const payload = JSON.stringify({ value: 80 + Math.sin(turn / 9) + (i % 7) / 10, time: start + turn });
    if (i % 200 === 0) await client.publishAsync(topics[i % topics.length], payload);
    else client.publish(topics[i % topics.length], payload);
  }
  await client.endAsync();
}
