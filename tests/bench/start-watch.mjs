// What an agent that starts is seen to do from outside: its pictures, and how soon it answers.
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { connectAsync } from 'mqtt';
import { median } from './report.mjs';

const ASK_EVERY_MS = 20;

/** Listens at the broker as the web server does, before the agent starts. @param takeups - how many pictures are all of them */
export async function listen(plant, takeups) {
  const password = (await readFile(join(plant.folder, 'secrets/web.txt'), 'utf8')).trim();
  const client = await connectAsync(plant.url, { username: 'web', password, clientId: 'start-bench' });
  const forecastOf = new Map();
  const asked = new Map();
  const took = [];
  let all = () => undefined;
  const everyPicture = new Promise((resolve) => (all = resolve));
  client.on('message', (topic, payload) => {
    if (topic.endsWith('/now')) {
      forecastOf.set(topic, JSON.parse(payload.toString()).trend.strokeOut !== null);
      if (forecastOf.size === takeups) all();
      return;
    }
    const begun = asked.get(topic.split('/').at(-1));
    if (begun !== undefined) took.push(performance.now() - begun);
  });
  await client.subscribeAsync(['takeline/load/out/+/+/now', 'takeline/load/done/+']);
  return {
    everyPicture,
    forecasts: () => [...forecastOf.values()].filter(Boolean).length,
    /** Asks for what the agent does not know, which it answers as soon as it comes to it. @returns how long that took */
    async askFor(ms) {
      const untilMs = performance.now() + ms;
      for (let i = 0; performance.now() < untilMs; i++) {
        const request = `r${i}`;
        asked.set(request, performance.now());
        client.publish('takeline/load/do/nothing', JSON.stringify({ request, by: 'bench' }));
        await pause(ASK_EVERY_MS);
      }
      await pause(1000);
      return `${median(took).toFixed(0)} / ${Math.max(...took).toFixed(0)} ms (${took.length} of ${asked.size})`;
    },
    stop: () => client.endAsync(),
  };
}
