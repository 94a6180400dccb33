// Listing and judging a hundred thousand alarm transitions, against the 100 ms in which a page is to stand; and a flood of alarms within
// one second: through the pipeline, and through a whole agent until the last of them is published.
// usage: npm run bench alarms [-- alarms of the flood, default 500]
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { connectAsync } from 'mqtt';
import { Agent } from '../../dist/agent/agent.js';
import { Pipeline } from '../../dist/agent/pipeline.js';
import { readSite } from '../../dist/agent/site/read-site.js';
import { signalsOf } from '../../dist/agent/site/site.js';
import { openSqliteReader } from '../../dist/agent/store/sqlite-reader.js';
import { openSqliteWriter } from '../../dist/agent/store/sqlite-writer.js';
import { median, table } from './report.mjs';

const TRANSITIONS = 100_000;
const ALLOWED_MS = 100;
const ROUNDS = 5;
const DAY_MS = 86_400_000;
const BEGIN_MS = Date.UTC(2026, 0, 1);
const ALARMS = ['stroke-low', 'stroke-end', 'spring-slack', 'signal-lost', 'carriage-jump'];
const CHANGES = ['raised', 'acknowledged', 'cleared', 'suppressed', 'unsuppressed'];
const PRIORITIES = ['urgent', 'high', 'medium', 'low'];
/** The flood: everything beyond its set-point at once, for so many readings. */
const NEAR_MM = 225;
const READINGS = 20;

/** @param {readonly string[]} args */
export async function run(args) {
  const flood = Number(args[0] ?? 500);
  const folder = await mkdtemp(join(tmpdir(), 'takeline-bench-'));
  try {
    await listing(folder);
    pipelineFlood(flood);
    await agentFlood(flood, folder);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** Two take-ups' worth of trouble a minute, for 35 days. */
const transition = (i) => ({
  ...{ kind: 'alarm', id: `event-${i}`, timeMs: BEGIN_MS + i * 30_000, conveyor: `line${i % 20}`, takeup: `tu${(i >> 3) % 5}` },
  ...{ alarm: ALARMS[i % 5], priority: PRIORITIES[i % 4], change: CHANGES[(i >> 2) % 5], from: 'normal', to: 'unacknowledged' },
  ...{ value: 1, limit: 2, unit: 'mm' },
});

async function listing(folder) {
  const dataDir = join(folder, 'events');
  const writer = await openSqliteWriter({ dataDir, signals: [] });
  for (let i = 0; i < TRANSITIONS; i += 5000) {
    await writer.writeOutputs({ events: Array.from({ length: 5000 }, (_, k) => transition(i + k)) });
  }
  const reader = await openSqliteReader({ dataDir });
  const endMs = BEGIN_MS + TRANSITIONS * 30_000;
  const page = (filter) => () => reader.alarmEvents({ limit: 100, ...filter });
  const middle = (await reader.alarmEvents({ limit: TRANSITIONS / 2 })).next;
  const asked = [
    ['the latest hundred', page({})],
    ['a hundred from the middle of the list', page({ before: middle })],
    ["a take-up's", page({ conveyor: 'line7', takeup: 'tu3' })],
    ["a conveyor's of one week", page({ conveyor: 'line7', fromMs: endMs - 14 * DAY_MS, toMs: endMs - 7 * DAY_MS })],
    ['two alarms', page({ alarms: ['stroke-end', 'signal-lost'] })],
    ['urgent and high that were raised', page({ priorities: ['urgent', 'high'], changes: ['raised'] })],
    [
      'by all of these at once',
      page({ conveyor: 'line7', takeup: 'tu3', alarms: ['spring-slack'], changes: ['raised', 'cleared'], fromMs: BEGIN_MS }),
    ],
    ['one that finds nothing', page({ priorities: ['urgent'], alarms: ['slack-date'] })],
    ['for judging: 8 hours, in order', page({ order: 'earliest-first', fromMs: endMs - DAY_MS / 3, toMs: endMs, limit: 10_000 })],
    ['for judging: all, in order, by pages of 10 000', () => all(reader)],
  ];
  const rows = [];
  for (const [name, ask] of asked) {
    const times = [];
    for (let round = 0; round < ROUNDS; round++) {
      const begun = performance.now();
      await ask();
      times.push(performance.now() - begun);
    }
    const usual = median(times);
    rows.push([name, `${usual.toFixed(1)} ms: ${((100 * usual) / ALLOWED_MS).toFixed(0)} % of ${ALLOWED_MS} ms`]);
  }
  await reader.stop();
  await writer.stop();
  table(`alarm events: ${TRANSITIONS} transitions, median of ${ROUNDS}, ${cpus()[0]?.model ?? 'processor'} × ${cpus().length}`, rows);
}

async function all(reader) {
  let after;
  let count = 0;
  do {
    const page = await reader.alarmEvents({ order: 'earliest-first', limit: 10_000, ...(after && { after }) });
    count += page.events.length;
    after = page.next;
  } while (after);
  if (count !== TRANSITIONS) throw new Error(`only ${count} of ${TRANSITIONS} transitions were read`);
}

/** A site with so many take-ups, two on a conveyor, each with one alarm that needs no on-delay. */
function floodSite(takeups) {
  const side = '{ set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 150 } }';
  const takeup = (id) => `
      - id: ${id}
        location: after the drive
        wrap_deg: 180
        stroke_mm: 230
        spring: { free_mm: 500, rate_n_per_mm: 18, solid_mm: 100, clearance_mm: 12 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides: { left: ${side}, right: ${side} }
        limits: { stroke-end: { on_delay_s: 0 } }`;
  const conveyor = (_, i) => `
  - id: line${i}
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 }
    takeups:${takeup('tu1')}${takeup('tu2')}`;
  const text = `site: { id: bench, name: Bench, timezone: Europe/Oslo, units: metric }
conveyors:${Array.from({ length: takeups / 2 }, conveyor).join('')}
`;
  const read = readSite(text, 'bench.yaml');
  if (!read.ok) throw new Error(read.faults.map(({ message }) => message).join('\n'));
  return read.site;
}

/** Everything near its stop within one second of the data's own time. */
function pipelineFlood(flood) {
  const site = floodSite(flood);
  const pipeline = new Pipeline(site);
  const signals = pipeline.signals.length;
  const out = [];
  const feed = (fromMs, mm, seconds) => {
    for (let second = 0; second < seconds; second++) {
      for (let signal = 0; signal < signals; signal++) pipeline.read(signal, fromMs + second * 1000, mm, out);
    }
  };
  feed(BEGIN_MS, 100, 60);
  out.length = 0;
  const calm = timed(() => feed(BEGIN_MS + 60_000, 100, READINGS));
  const stormy = timed(() => feed(BEGIN_MS + 80_000, NEAR_MM, READINGS));
  const raised = out.filter(({ kind, change, alarm }) => kind === 'alarm' && change === 'raised' && alarm === 'stroke-end');
  const within = Math.max(...raised.map(({ timeMs }) => timeMs)) - Math.min(...raised.map(({ timeMs }) => timeMs));
  const pictures = timed(() => pipeline.save());
  table(`a flood in the pipeline: ${raised.length} alarms within ${within} ms of the data, ${signals} signals`, [
    [`${READINGS} seconds of readings, calm`, `${calm.toFixed(0)} ms`],
    ['the same with the flood in them', `${stormy.toFixed(0)} ms: ${(stormy / calm).toFixed(2)} times as long`],
    ['saving the state', `${pictures.toFixed(0)} ms`],
  ]);
}

function timed(work) {
  const begun = performance.now();
  work();
  return performance.now() - begun;
}

async function agentFlood(flood, folder) {
  const site = floodSite(flood);
  const broker = fork(fileURLToPath(new URL('live-helper.mjs', import.meta.url)), ['broker']);
  try {
    const [port] = await once(broker, 'message');
    const url = `mqtt://127.0.0.1:${port}`;
    const log = { info: () => undefined, warn: () => undefined, error: (line) => process.stderr.write(`${line}\n`) };
    const agent = new Agent({ site, dataDir: join(folder, 'agent'), broker: { url }, clock: { nowMs: () => Date.now() }, log });
    await agent.start();
    const listener = await connectAsync(url);
    const heard = { events: new Set(), states: new Set() };
    listener.on('message', (topic, payload) => {
      if (topic.endsWith('/alarm/stroke-end')) heard.states.add(topic);
      else if (payload.includes('"stroke-end"') && payload.includes('"raised"')) heard.events.add(topic);
    });
    await listener.subscribeAsync(['takeline/bench/out/+/+/event', 'takeline/bench/out/+/+/alarm/+'], { qos: 1 });
    const sensors = await connectAsync(url);
    const beginMs = Date.now() - READINGS * 1000;
    const begun = performance.now();
    for (let second = 0; second < READINGS; second++) {
      for (const { topic } of signalsOf(site))
        sensors.publish(topic, JSON.stringify({ value: NEAR_MM, time: beginMs + second * 1000 }), { qos: 0 });
    }
    const takenMs = await passed(begun, () => agent.readingCount >= READINGS * 2 * flood);
    const eventsMs = await passed(begun, () => heard.events.size >= flood && heard.states.size >= flood);
    await sensors.endAsync();
    await listener.endAsync();
    await agent.stop();
    table(`a flood through an agent: ${heard.events.size} alarms out of ${READINGS * 2 * flood} readings at once`, [
      ['every reading taken', `${takenMs.toFixed(0)} ms after the first was sent`],
      ['every alarm stored, told as an event and as a retained state', `${eventsMs.toFixed(0)} ms after the first was sent`],
    ]);
  } finally {
    broker.kill();
  }
}

async function passed(begun, holds) {
  while (!holds()) {
    if (performance.now() - begun > 120_000) throw new Error('the flood did not pass within two minutes');
    await new Promise((resolve) => setTimeout(resolve, 1));
  }
  return performance.now() - begun;
}
