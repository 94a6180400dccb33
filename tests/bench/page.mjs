// From the reading that crosses a limit to the page in the mail server's hands, at 1,000 readings a second with on-delays of zero; and a flood.
// Broker, publisher and mail server share this process with the agent.
// usage: npm run bench page [-- crossings, default 30]
import { mkdtemp, rm } from 'node:fs/promises';
import { createServer } from 'node:net';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { Aedes } from 'aedes';
import { connectAsync } from 'mqtt';
import { SMTPServer } from 'smtp-server';
import { Agent } from '../../dist/agent/agent.js';
import { inTopic } from '../../dist/agent/contract/topics.js';
import { readSite } from '../../dist/agent/site/read-site.js';
import { table } from './report.mjs';

const CONVEYORS = 50;
const FLOOD = 500;
const RATE = 1000;
const side = '{ set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }';

/** A site with a take-up on each conveyor; alarms of spring-solid page one person at once. */
function siteText(conveyors, port) {
  const lines = Array.from(
    { length: conveyors },
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
        limits: { spring-solid: { length_mm: 230, on_delay_s: 0 } }
`,
  );
  return `
site: { id: bench, name: Bench, timezone: Europe/Oslo, units: metric }
conveyors:
${lines.join('')}people: [{ id: marta, channels: { email: marta@bench.example } }]
paging:
  ladders: { urgent: { steps: [{ after_min: 0, to: marta }] } }
  smtp: { host: 127.0.0.1, port: ${port}, security: none, from: takeline@bench.example }
`;
}

export async function run(args) {
  const crossings = Number(args[0] ?? 30);
  const folder = await mkdtemp(join(tmpdir(), 'takeline-bench-'));
  const mails = [];
  const smtp = new SMTPServer({
    ...{ authOptional: true, disabledCommands: ['STARTTLS'], disableReverseLookup: true, logger: false },
    onData: (stream, _session, done) => {
      let text = '';
      stream.on('data', (part) => (text += part));
      stream.on('end', () => {
        mails.push({ atMs: performance.now(), text });
        done();
      });
    },
  });
  await new Promise((resolve) => smtp.listen(0, '127.0.0.1', resolve));
  const aedes = await Aedes.createBroker();
  const server = createServer(aedes.handle);
  await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
  const url = `mqtt://127.0.0.1:${server.address().port}`;
  const client = await connectAsync(url);
  const agentOn = async (conveyors, name) => {
    const read = readSite(siteText(conveyors, smtp.server.address().port), 'bench.yaml');
    if (!read.ok) throw new Error(read.faults.map(({ message }) => message).join('\n'));
    const log = {
      info: () => undefined,
      warn: (line) => process.stderr.write(`${line}\n`),
      error: (line) => process.stderr.write(`${line}\n`),
    };
    const one = new Agent({ site: read.site, dataDir: join(folder, name), broker: { url }, clock: { nowMs: () => Date.now() }, log });
    await one.start();
    return one;
  };
  const publish = (conveyor, value) => {
    const payload = JSON.stringify({ value, time: Date.now() });
    for (const of of ['left', 'right']) client.publish(inTopic('bench', `line${conveyor}/tu1/${of}/position`), payload);
  };
  try {
    // 1,000 readings a second from 50 take-ups; now and then one of them is drawn in so far that its spring is solid.
    const agent = await agentOn(CONVEYORS, 'steady');
    const drawnIn = new Set();
    let turn = 0;
    const timer = setInterval(() => {
      for (let i = 0; i < RATE / 2 / 50; i++) {
        const conveyor = turn++ % CONVEYORS;
        publish(conveyor, drawnIn.has(conveyor) ? 10 + (turn % 3) / 10 : 40 + (turn % 3) / 10);
      }
    }, 20);
    await until(() => agent.readingCount > 3000);
    const begunAt = performance.now();
    const readBefore = agent.readingCount;
    const delays = [];
    for (let crossing = 0; crossing < crossings; crossing++) {
      const conveyor = crossing % CONVEYORS;
      const before = mails.length;
      const atMs = performance.now();
      drawnIn.add(conveyor);
      publish(conveyor, 10);
      await until(() => mails.length > before);
      delays.push(mails.at(-1).atMs - atMs);
    }
    const rate = ((agent.readingCount - readBefore) / (performance.now() - begunAt)) * 1000;
    clearInterval(timer);
    await agent.stop();

    const flooded = await agentOn(FLOOD, 'flood');
    const calm = async (value) => {
      const before = flooded.readingCount;
      for (let conveyor = 0; conveyor < FLOOD; conveyor++) publish(conveyor, value);
      await until(() => flooded.readingCount >= before + 2 * FLOOD);
      await new Promise((resolve) => setTimeout(resolve, 60));
    };
    for (let i = 0; i < 12; i++) await calm(40 + (i % 3) / 10);
    const before = mails.length;
    const floodAt = performance.now();
    for (let i = 0; i < 6; i++) await calm(10 + (i % 3) / 10);
    await until(() => mails.length > before);
    const floodMs = mails.at(-1).atMs - floodAt;
    await new Promise((resolve) => setTimeout(resolve, 3000));
    const told = /(\d+) alarms/.exec(mails[before].text)?.[1];
    await flooded.stop();

    delays.sort((a, b) => a - b);
    const at = (share) => `${Math.round(delays[Math.min(delays.length - 1, Math.floor(share * delays.length))])} ms`;
    table(`page: ${crossings} crossings, ${cpus()[0]?.model ?? 'processor'} × ${cpus().length}`, [
      ['readings a second meanwhile', `${Math.round(rate)}`],
      ['reading to mail server, p50 (of it 200 ms to gather what belongs together)', at(0.5)],
      ['reading to mail server, p99', at(0.99)],
      [`${FLOOD} alarms at once: mails to one person`, `${mails.length - before} (with ${told} alarms)`],
      ['first reading of the flood to mail server', `${Math.round(floodMs)} ms`],
    ]);
  } finally {
    await client.endAsync(true);
    server.close();
    aedes.close();
    smtp.close();
    await rm(folder, { recursive: true, force: true });
  }
}

async function until(holds) {
  const begun = performance.now();
  while (!holds()) {
    if (performance.now() - begun > 60_000) throw new Error('waited a minute for nothing');
    await new Promise((resolve) => setTimeout(resolve, 2));
  }
}
