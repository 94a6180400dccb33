// Publishes as so many sensors with ten readings a second each, one in so many of them at QoS 1, and counts what the broker acknowledged.
import { readFile, writeFile } from 'node:fs/promises';
import { setTimeout as pause } from 'node:timers/promises';
import { connectAsync } from 'mqtt';
import { readSite } from '../../dist/agent/site/read-site.js';
import { signalsOf } from '../../dist/agent/site/site.js';

const [url, password, sitePath, acknowledgedEvery, rate, seconds, ackFile] = process.argv.slice(2);
const TICK_MS = 100;
/** Every sensor has a beat of its own: a tenth of them at a time. */
const PHASES = 10;
const read = readSite(await readFile(sitePath, 'utf8'), sitePath);
const topics = signalsOf(read.site).map(({ topic }) => topic);
const client = await connectAsync(url, { username: 'sensor', password, clientId: `load-${process.pid}` });
// A publisher that the broker makes wait hangs one more listener on its socket for each reading.
client.stream.setMaxListeners(0);
const sensors = Math.round((Number(rate) * TICK_MS) / 1000);
const every = Number(acknowledgedEvery);
const acknowledged = [];
let [sent, failed, late] = [0, 0, 0];
const begun = Date.now();

for (let beat = 0; beat * TICK_MS < Number(seconds) * 1000 * PHASES; beat++) {
  const tick = Math.floor(beat / PHASES);
  const dueMs = begun + (beat * TICK_MS) / PHASES;
  if (dueMs > Date.now()) await pause(dueMs - Date.now());
  else if (beat % PHASES === 0 && Date.now() - dueMs > TICK_MS) late++;
  for (let i = beat % PHASES; i < sensors; i += PHASES) {
    const time = Date.now();
    // A carriage that breathes by two millimetres, read to the hundredth; one in fifty goes to the end of its stroke and back.
    const reach = i % 50 === 0 ? 25 * Math.sin(tick / 300) : 0;
    const value = Math.round(100 * (180 + reach + 2 * Math.sin((tick + i) / 37) + 0.2 * (Math.random() - 0.5))) / 100;
    sent++;
    const qos = every > 0 && i % every === 0 ? 1 : 0;
    client.publish(topics[i], `{"value":${value},"time":${time}}`, { qos }, (error) => {
      if (error) failed++;
      else if (qos === 1 && ackFile !== '') acknowledged.push(`${i} ${time}`);
    });
  }
}
await client.endAsync();
if (ackFile !== '') await writeFile(ackFile, acknowledged.join('\n'));
process.stdout.write(JSON.stringify({ sent, failed, late, begunMs: begun, seconds: (Date.now() - begun) / 1000 }));
