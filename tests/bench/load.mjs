// A plant of 500 take-ups, 1,000 sensors, 10,000 readings a second: broker, agent and web each in a process, seen from outside.
// usage: npm run bench load [-- live|history|kill] [seconds a step, default 20] [kills, default 20] [one share of the rate, 0…1]
import { readFile } from 'node:fs/promises';
import { cpus } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { readSite } from '../../dist/agent/site/read-site.js';
import { signalsOf } from '../../dist/agent/site/site.js';
import { openSqliteReader } from '../../dist/agent/store/sqlite-reader.js';
import { history } from './load-history.mjs';
import { LoadPlant, siteOf } from './load-plant.mjs';
import { openScreen, quantile, signIn, watchPictures, watchScreen, watchStore } from './load-watch.mjs';
import { table } from './report.mjs';

const CONVEYORS = 125;
const FULL_RATE = 10_000;
/** Screens that are open; one of them is timed. */
const SCREENS = 20;
/** Of the sensors that publish while the agent is killed, one in so many does at QoS 1. */
const ACKNOWLEDGED_EVERY = 5;
/** From the beginning of a load until its code is compiled and every take-up has its turn. */
const WARM_MS = 3000;
/** A reading that others follow is shown or passed over within so long. */
const COUNTED_TO_MS = 600;
const machine = `${cpus()[0]?.model ?? 'processor'} × ${cpus().length}`;

export async function run(args) {
  const [what = 'all', seconds = '20', kills = '20', only] = args;
  const shares = only === undefined ? [0.01, 0.1, 0.5, 1] : [Number(only)];
  if (what === 'all' || what === 'live') await live(Number(seconds), shares);
  if (what === 'all' || what === 'history') await history();
  if (what === 'all' || what === 'kill') await killed(Number(kills));
}

/** Latency and cost at a hundredth, a tenth, half and all of the rate. */
async function live(seconds, shares) {
  const plant = await LoadPlant.start(CONVEYORS);
  try {
    const login = await plant.startWeb();
    table(`nothing published yet, ${machine}`, memoryRows(await plant.used()));
    const samples = { stored: [], picture: [], gap: [], screen: [] };
    const stopStore = watchStore(join(plant.folder, 'takeline.sqlite'), (ms) => samples.stored.push(ms));
    const webPassword = (await readFile(join(plant.folder, 'secrets/web.txt'), 'utf8')).trim();
    const stopPictures = await watchPictures(
      plant.url,
      webPassword,
      (picture) => samples.picture.push(picture),
      (ms) => samples.gap.push(ms),
    );
    const cookie = await signIn(login);
    const stopScreens = [await watchScreen(login.url, cookie, (picture) => samples.screen.push(picture))];
    while (stopScreens.length < SCREENS) stopScreens.push(await openScreen(login.url, cookie));
    for (const share of shares) {
      await pause(1000);
      for (const values of Object.values(samples)) values.length = 0;
      const before = await plant.used();
      const published = await plant.publish({ rate: FULL_RATE * share, seconds });
      const { seq: drained, grownMs } = await plant.drained();
      const tookS = (grownMs - published.begunMs) / 1000;
      const after = await plant.used();
      const { stored, picture, gap, screen } = structuredClone(samples);
      const ms = (values, at) => quantile(values, at).toFixed(0);
      table(`load at ${100 * share} %: ${Math.round(published.sent / published.seconds)} readings/s for ${seconds} s, ${machine}`, [
        ['publish → stored, p50 / p99', `${ms(stored, 0.5)} / ${ms(stored, 0.99)} ms (${stored.length} looks)`],
        ...latencyRows('publish → picture at the broker', picture),
        ['between two pictures of a take-up, p1 / p50 / p99 (500 by contract)', `${ms(gap, 0.01)} / ${ms(gap, 0.5)} / ${ms(gap, 0.99)} ms`],
        ...latencyRows('publish → screen', screen),
        ['sustained, from the first published to the last stored', `${Math.round(published.sent / tookS)} readings/s`],
        ...Object.entries(after).map(([name, { cpuS }]) => {
          const used = cpuS - before[name].cpuS;
          const each = (1e6 * used) / published.sent;
          return [`${name}: cores, processor time a reading`, `${(used / tookS).toFixed(2)}, ${each.toFixed(0)} µs`];
        }),
        ...memoryRows(after),
        ['journalled in all', String(drained)],
        ['ticks on which the publisher itself was late', `${published.late} of ${seconds * 10}`],
      ]);
    }
    for (const stopScreen of stopScreens) stopScreen();
    await stopPictures();
    stopStore();
    const reader = await openSqliteReader({ dataDir: plant.folder });
    const use = await reader.diskUse();
    await reader.stop();
    table('stored meanwhile', [
      ['as rows', `${use.journal.readings} readings`],
      [
        'in blocks',
        use.blocks.readings === 0
          ? 'none yet'
          : `${use.blocks.readings} readings, ${(use.blocks.bytes / use.blocks.readings).toFixed(2)} bytes each`,
      ],
    ]);
  } finally {
    await plant.stop();
  }
}

/**
 * Over all of a load, and while it lasts: without its first seconds, in which much of the program runs for the first time, and without
 * the readings after the last of which nothing comes, so that they wait for the half second of contracts §5 to be over.
 * @param {readonly { publishedMs: number, ageMs: number }[]} pictures
 */
function latencyRows(name, pictures) {
  const ms = (some) => {
    const ages = some.map(({ ageMs }) => ageMs);
    return `${quantile(ages, 0.5).toFixed(0)} / ${quantile(ages, 0.99).toFixed(0)} ms (${ages.length} pictures)`;
  };
  const times = pictures.map(({ publishedMs }) => publishedMs);
  const [fromMs, untilMs] = [
    times.reduce((a, b) => Math.min(a, b), Infinity) + WARM_MS,
    times.reduce((a, b) => Math.max(a, b), 0) - COUNTED_TO_MS,
  ];
  const lasting = pictures.filter(({ publishedMs }) => publishedMs >= fromMs && publishedMs < untilMs);
  return [
    [`${name}, p50 / p99`, ms(pictures)],
    [`  the same without the first ${WARM_MS / 1000} s and the last ${COUNTED_TO_MS / 1000} s`, ms(lasting)],
  ];
}

/** Memory of each part: resident, by share, and its alone. */
function memoryRows(used) {
  return Object.entries(used).map(([name, { rssMb, pssMb, privateMb }]) => [
    `${name}: memory resident, by share, its alone`,
    [rssMb, pssMb, privateMb].map((mb) => `${mb.toFixed(0)} MB`).join(', '),
  ]);
}

/** Kills the agent again and again in the middle of the load; every reading that was acknowledged must be in the store afterwards. */
async function killed(kills) {
  const plant = await LoadPlant.start(CONVEYORS);
  try {
    const ackFile = join(plant.folder, 'acknowledged.txt');
    const seconds = kills * 3;
    const publishing = plant.publish({ acknowledgedEvery: ACKNOWLEDGED_EVERY, rate: FULL_RATE, seconds, ackFile });
    for (let kill = 0; kill < kills; kill++) {
      await pause(800 + Math.random() * 1200);
      await plant.kill('agent');
      await plant.startAgent();
    }
    const published = await publishing;
    const acknowledged = (await readFile(ackFile, 'utf8')).split('\n').filter((line) => line !== '');
    const missing = await missingOf(plant.folder, acknowledged);
    table(`the agent killed ${kills} times in the middle of ${FULL_RATE} readings/s, one in ${ACKNOWLEDGED_EVERY} at QoS 1, ${machine}`, [
      [
        'published',
        `${published.sent} in ${published.seconds.toFixed(0)} s (${Math.round(published.sent / published.seconds)} readings/s)`,
      ],
      ['acknowledged to the publisher', String(acknowledged.length)],
      ['of these not in the store afterwards', String(missing.missing)],
      ['in the store twice', String(missing.twice)],
    ]);
    if (missing.missing + missing.twice > 0) process.exitCode = 1;
  } finally {
    await plant.stop();
  }
}

/** What was acknowledged and is not in the store, once the agent has taken what the broker kept for it. */
async function missingOf(dataDir, acknowledged) {
  const site = readSite(siteOf(CONVEYORS), 'load.yaml').site;
  const names = signalsOf(site).map(({ name }) => name);
  for (let tries = 0; ; tries++) {
    const found = new Map();
    const reader = await openSqliteReader({ dataDir });
    for await (const { count, signal, timeMs } of reader.readings(names, 0, Number.MAX_SAFE_INTEGER)) {
      for (let i = 0; i < count; i++) found.set(`${signal[i]} ${timeMs[i]}`, (found.get(`${signal[i]} ${timeMs[i]}`) ?? 0) + 1);
    }
    await reader.stop();
    const missing = acknowledged.filter((line) => !found.has(line)).length;
    if (missing === 0 || tries === 30) return { missing, twice: [...found.values()].filter((times) => times > 1).length };
    await pause(1000);
  }
}
