// How late a live alarm comes beside a replay on the bench: broker, agent and web server in one process, as `takeline up` has them.
import { spawn } from 'node:child_process';
import { openAsBlob } from 'node:fs';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { connectAsync } from 'mqtt';
import { SITE as REPLAYED } from './year-recording.mjs';

const CONVEYORS = 20;
/** Readings a second of each sensor. */
const HERTZ = 10;
const side = '{ position: { period_s: 0.1 }, set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }';

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
        limits: { spring-solid: { length_mm: 230, on_delay_s: 0 } }
`,
).join('')}`;

/** @returns milliseconds from a reading that crosses a limit to its alarm, of so many crossings without and with a replay beside them */
export async function liveDelays(recording, crossings) {
  const folder = await mkdtemp(join(tmpdir(), 'takeline-bench-'));
  const main = fileURLToPath(new URL('../../dist/takeline/main.js', import.meta.url));
  await writeFile(join(folder, 'site.yaml'), SITE);
  const ports = ['--port', '0', '--mqtt-port', '0', '--ws-port', '0'];
  const up = spawn(process.execPath, [main, 'up', '--site', join(folder, 'site.yaml'), '--data', join(folder, 'data'), ...ports]);
  const ended = new Promise((resolve) => up.once('exit', resolve));
  let client;
  try {
    const said = await saidBy(up);
    const url = /Pages:\s+(\S+)/.exec(said)[1];
    const password = async (role) => (await readFile(join(folder, 'data', 'secrets', `${role}.txt`), 'utf8')).trim();
    client = await connectAsync(/Broker:\s+(\S+)/.exec(said)[1], { username: 'web', password: await password('web') });
    const sensor = await connectAsync(/Broker:\s+(\S+)/.exec(said)[1], { username: 'sensor', password: await password('sensor') });
    const rose = new Map();
    client.on('message', (topic, payload) => {
      const [, , , conveyor, , , key] = topic.split('/');
      if (key === 'spring-solid' && payload.includes('"state":"unacknowledged"')) rose.get(conveyor)?.(performance.now());
    });
    await client.subscribeAsync('takeline/bench/out/#', { qos: 1 });
    const drawnIn = new Set();
    let turn = 0;
    const timer = setInterval(() => {
      turn++;
      for (let i = 0; i < CONVEYORS; i++) publish(sensor, i, (drawnIn.has(i) ? 10 : 40) + ((turn + i) % 3) / 10);
    }, 1000 / HERTZ);
    await pause(5000);
    const delays = async () => {
      const found = [];
      for (let i = 0; i < crossings; i++) {
        const conveyor = i % CONVEYORS;
        const told = new Promise((resolve) => rose.set(`line${conveyor}`, resolve));
        // Out again for long enough that the alarm has cleared.
        if (drawnIn.delete(conveyor)) await pause(200);
        await pause(Math.random() * 100);
        const begun = performance.now();
        drawnIn.add(conveyor);
        found.push((await told) - begun);
        setTimeout(() => drawnIn.delete(conveyor), 500);
      }
      return found;
    };
    const alone = await delays();
    const session = await openReplay(url, said, recording);
    const beside = await delays();
    const { progress } = await session.status();
    clearInterval(timer);
    await sensor.endAsync(true);
    if (progress.state === 'done' || progress.state === 'failed') throw new Error(`the replay was ${progress.state} before the last alarm`);
    return { alone, beside };
  } finally {
    await client?.endAsync(true);
    up.kill('SIGTERM');
    await ended;
    await rm(folder, { recursive: true, force: true });
  }
}

function publish(client, conveyor, value) {
  const payload = JSON.stringify({ value, time: Date.now() });
  for (const of of ['left', 'right']) client.publish(`takeline/bench/in/line${conveyor}/tu1/${of}/position`, payload);
}

/** Sends the recording in and replays it, as the page does. */
async function openReplay(url, said, recording) {
  const [, name, password] = /Sign in: (\S+), password (\S+)/.exec(said);
  let cookie = '';
  const ask = async (method, path, body, type = 'application/json') => {
    const headers = { origin: url.replace(/\/$/, ''), cookie, ...(body === undefined ? {} : { 'content-type': type }) };
    const response = await fetch(new URL(path, url), { method, headers, body, duplex: 'half' });
    if (!response.ok) throw new Error(`${path}: ${response.status} ${await response.text()}`);
    cookie ||= response.headers.getSetCookie()[0]?.split(';')[0] ?? '';
    return response.status === 204 ? undefined : response.json();
  };
  await ask('POST', '/api/session', JSON.stringify({ name, password }));
  const file = await openAsBlob(recording);
  const { upload } = await ask('POST', '/api/bench/recordings?name=year.parquet', file, 'application/octet-stream');
  const { id } = await ask('POST', '/api/bench/sessions', JSON.stringify({ source: { kind: 'upload', upload }, siteText: REPLAYED }));
  return { status: () => ask('GET', `/api/bench/sessions/${id}`) };
}

/** What the program says at its start, up to its last line. */
async function saidBy(child) {
  let text = '';
  child.stderr.on('data', (part) => process.stderr.write(part));
  for await (const part of child.stdout) {
    text += part;
    if (text.includes('Stop with')) break;
  }
  return text;
}

function pause(ms) {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
