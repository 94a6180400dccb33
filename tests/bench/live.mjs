// Live readings per second from the broker into the agent's published state, against a bare subscriber that parses and drops.
// Broker and publisher run in processes of their own; the subscriber and the agent take turns in this one.
// usage: npm run bench live [-- thousands of readings, default 200]
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { connectAsync } from 'mqtt';
import { Agent } from '../../dist/agent/agent.js';
import { readSite } from '../../dist/agent/site/read-site.js';
import { signalsOf } from '../../dist/agent/site/site.js';
import { median, table } from './report.mjs';

const ROUNDS = 3;
const CONVEYORS = 10;

const side = '{ set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }';
const SITE = `
site: { id: bench, name: Bench, timezone: Europe/Oslo, units: metric }
conveyors:
${Array.from(
  { length: CONVEYORS },
  (_, i) => `  - id: line${i}
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 }
    takeups:
      - id: tu1
        location: after the drive
        wrap_deg: 180
        stroke_mm: 230
        spring: { free_mm: 420, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12, per_side: 1 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides: { left: ${side}, right: ${side} }
`,
).join('')}`;

export async function run(args) {
  const count = Number(args[0] ?? 200) * 1000;
  const read = readSite(SITE, 'bench.yaml');
  if (!read.ok) throw new Error(read.faults.map(({ message }) => message).join('\n'));
  const folder = await mkdtemp(join(tmpdir(), 'takeline-bench-'));
  const helper = fileURLToPath(new URL('live-helper.mjs', import.meta.url));
  const broker = fork(helper, ['broker']);
  try {
    const [port] = await once(broker, 'message');
    const url = `mqtt://127.0.0.1:${port}`;
    const topics = signalsOf(read.site).map(({ topic }) => topic);
    const publish = async () => {
      const publisher = fork(helper, ['publish', url, String(count), ...topics]);
      await once(publisher, 'exit');
    };
    const bare = async () => {
      const client = await connectAsync(url);
      let got = 0;
      let sum = 0;
      client.handleMessage = (packet, done) => {
        sum += JSON.parse(packet.payload.toString()).value;
        got++;
        done();
      };
      await client.subscribeAsync(topics, { qos: 1 });
      const rate = await timed(count, () => got, publish);
      await client.endAsync();
      if (!(sum > 0)) throw new Error('the bare subscriber read nothing');
      return rate;
    };
    const agent = async (round) => {
      const log = { info: () => undefined, warn: () => undefined, error: (line) => process.stderr.write(`${line}\n`) };
      const one = new Agent({
        site: read.site,
        dataDir: join(folder, `agent-${round}`),
        broker: { url },
        clock: { nowMs: () => Date.now() },
        log,
      });
      await one.start();
      const rate = await timed(count, () => one.readingCount, publish);
      await one.stop();
      return rate;
    };
    await bare();
    const rates = { bare: [], agent: [] };
    for (let round = 0; round < ROUNDS; round++) {
      rates.bare.push(await bare());
      rates.agent.push(await agent(round));
    }
    const ratio = median(rates.agent.map((rate, i) => rate / rates.bare[i]));
    table(`live: ${count / 1000} thousand readings at QoS 0, median of ${ROUNDS}, ${cpus()[0]?.model ?? 'processor'} × ${cpus().length}`, [
      ['bare subscriber that parses and drops', `${Math.round(median(rates.bare))} readings/s`],
      ['agent: decode, journal, pipeline, publish', `${Math.round(median(rates.agent))} readings/s`],
      ['agent over bare subscriber', `${(100 * ratio).toFixed(0)} %`],
    ]);
  } finally {
    broker.kill();
    await rm(folder, { recursive: true, force: true });
  }
}

/** Rate from the first reading that came in to the last. */
async function timed(count, got, publish) {
  const publishing = publish();
  while (got() === 0) await new Promise((resolve) => setTimeout(resolve, 1));
  const begun = performance.now();
  const first = got();
  while (got() < count) {
    if (performance.now() - begun > 120_000) throw new Error(`only ${got()} of ${count} readings came in within two minutes`);
    await new Promise((resolve) => setTimeout(resolve, 2));
  }
  const rate = (count - first) / ((performance.now() - begun) / 1000);
  await publishing;
  return rate;
}
