// The floor in a real Chromium, two hundred take-ups live at two updates a second: how soon it is there, how smooth it stays, what of a
// core its main thread takes, and whether its memory grows.
// usage: npm run bench screens [-- minutes of the memory run, default 10, and take-ups, default 200]
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { chromium } from 'playwright-core';
import { findBrowser } from '../../.scripts/browser.mjs';
import { median, table } from './report.mjs';

const PLANT = fileURLToPath(new URL('screens-plant.mjs', import.meta.url));
const WALL = { width: 1920, height: 1080 };
const FIRST_VIEWS = 5;
const WATCH_S = 20;
const TRACE_S = 10;
const FRAME_MS = 1000 / 60;
const SAMPLE_S = 10;
/** What is kept for good settles before it is counted. */
const WARM_UP_S = 30;

/** @param {readonly string[]} args */
export async function run(args) {
  const [minutes, takeups] = [Number(args[0] ?? 10), Number(args[1] ?? 200)];
  const found = await findBrowser();
  if ('fault' in found) throw new Error(found.fault);
  const folder = await mkdtemp(join(tmpdir(), 'takeline-bench-'));
  const plant = fork(PLANT, [folder, String(takeups)]);
  const browser = await chromium.launch(found);
  try {
    const [place] = await once(plant, 'message');
    const signedIn = await signIn(browser, place);
    const script = await scriptSize(browser, signedIn, place.url);
    const firstViews = [];
    for (let i = 0; i < FIRST_VIEWS; i++) firstViews.push(await firstView(browser, signedIn, place.url));
    const bare = await watch(browser, signedIn, `${place.url}/icon.svg`, 'svg');
    const floor = await watch(browser, signedIn, `${place.url}/`);
    const wall = await watch(browser, signedIn, `${place.url}/#/wall`);
    const alone = await watch(browser, signedIn, `${place.url}/#/takeup/line1/tu1`);
    const memory = minutes > 0 ? await grow(browser, signedIn, place.url, minutes) : undefined;
    table(`screens: ${takeups} take-ups at 2 updates a second, ${cpus()[0]?.model ?? 'processor'} × ${cpus().length}, drawn by software`, [
      ['script of the first view, packed', `${(script / 1000).toFixed(1)} kB`],
      ['first view: navigation to the ruler drawn, nothing kept from before', `${Math.round(median(firstViews))} ms`],
      ...rowsOf('a picture that stands still, which is what the machine gives', bare).slice(2),
      ...rowsOf('floor', floor),
      ...rowsOf('wall', wall),
      ...rowsOf('one take-up with its charts', alone),
      ...(memory === undefined ? [] : memoryRows(memory, minutes)),
    ]);
  } finally {
    await browser.close();
    plant.kill();
    await rm(folder, { recursive: true, force: true });
  }
}

async function signIn(browser, { url, name, password }) {
  const page = await browser.newPage({ locale: 'en-GB' });
  await page.goto(url);
  await page.getByLabel('Name').fill(name);
  await page.getByLabel('Password').fill(password);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.locator('.shell').waitFor();
  const state = await page.context().storageState();
  await page.context().close();
  return state;
}

async function open(browser, storageState, size = WALL) {
  const context = await browser.newContext({ storageState, viewport: size, locale: 'en-GB', timezoneId: 'Europe/Oslo' });
  return context.newPage();
}

async function scriptSize(browser, signedIn, url) {
  const page = await open(browser, signedIn);
  const bodies = [];
  page.on('response', (response) => {
    if (new URL(response.url()).pathname.endsWith('.js')) bodies.push(response.body());
  });
  await page.goto(url);
  await page.locator('.carriage rect').first().waitFor();
  const size = (await Promise.all(bodies)).reduce((sum, body) => sum + gzipSync(body).length, 0);
  await page.context().close();
  return size;
}

/** From the navigation to the frame in which a carriage stands on its ruler; ms, on the page's own clock. */
async function firstView(browser, signedIn, url) {
  const page = await open(browser, signedIn);
  await page.addInitScript(() => {
    const look = () => {
      if (document.querySelector('.carriage rect') !== null) globalThis.drawnMs = performance.now();
      else requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
  });
  await page.goto(url);
  const drawn = await page.waitForFunction(() => globalThis.drawnMs);
  const ms = await drawn.jsonValue();
  await page.context().close();
  return ms;
}

/** What the main thread takes while the page is only looked at, and how many frames come when every one is asked for. */
async function watch(browser, signedIn, address, there = '.carriage rect') {
  const page = await open(browser, signedIn);
  await page.goto(address);
  await page.locator(there).first().waitFor();
  const session = await page.context().newCDPSession(page);
  // Processor time, not time by the clock: other work on the machine is not blamed on the page.
  await session.send('Performance.enable', { timeDomain: 'threadTicks' });
  await wait(3);
  const quiet = await busy(session, () => wait(WATCH_S));
  let frames;
  const asked = await busy(session, async () => {
    frames = await page.evaluate(countFrames, WATCH_S);
  });
  const tasksMs = await tasksOf(browser, page);
  await page.context().close();
  return { quiet, asked, frames, tasksMs };
}

/**
 * Processor time of each task of the main thread, ms: what a frame costs, whatever else the machine does meanwhile. A frame is late by the
 * page's own fault only where one takes longer than a frame lasts.
 */
async function tasksOf(browser, page) {
  await browser.startTracing(page, { categories: ['disabled-by-default-devtools.timeline', 'toplevel'] });
  await page.evaluate(countFrames, TRACE_S);
  const { traceEvents } = JSON.parse((await browser.stopTracing()).toString());
  const isMain = (event) => event.name === 'thread_name' && event.args.name === 'CrRendererMain';
  const threads = new Set(traceEvents.filter(isMain).map(({ pid, tid }) => `${pid}/${tid}`));
  return traceEvents
    .filter(({ name, ph, pid, tid }) => name === 'RunTask' && ph === 'X' && threads.has(`${pid}/${tid}`))
    .map(({ tdur = 0 }) => tdur / 1000);
}

/** Share of a core that the main thread took during something. */
async function busy(session, something) {
  const [before, beginMs] = [await taskSeconds(session), performance.now()];
  await something();
  const took = (await taskSeconds(session)) - before;
  return took / ((performance.now() - beginMs) / 1000);
}

async function taskSeconds(session) {
  const { metrics } = await session.send('Performance.getMetrics');
  return metrics.find(({ name }) => name === 'TaskDuration').value;
}

/** Runs in the page. */
function countFrames(seconds) {
  return new Promise((resolve) => {
    const gaps = [];
    let last = performance.now();
    const end = last + seconds * 1000;
    const frame = (atMs) => {
      gaps.push(atMs - last);
      last = atMs;
      if (atMs < end) requestAnimationFrame(frame);
      else resolve(gaps.slice(1));
    };
    requestAnimationFrame(frame);
  });
}

function rowsOf(name, { quiet, asked, frames, tasksMs }) {
  const [dearest, long] = [Math.max(...tasksMs), tasksMs.filter((ms) => ms > FRAME_MS).length];
  const sorted = [...frames].sort((a, b) => a - b);
  const total = frames.reduce((sum, gap) => sum + gap, 0);
  const late = frames.filter((gap) => gap > 25).length;
  return [
    [`${name}: main thread, looked at`, `${percent(quiet)} of a core`],
    [`${name}: main thread, every frame asked for`, `${percent(asked)} of a core`],
    [`${name}: frames a second`, `${((frames.length / total) * 1000).toFixed(1)}, ${percent(late / frames.length)} late by half a frame`],
    [`${name}: dearest task of the main thread in ${TRACE_S} s, processor time`, `${dearest.toFixed(1)} ms, ${long} longer than a frame`],
    [`${name}: longest gap, and 99 of 100`, `${Math.round(sorted.at(-1))} ms, ${Math.round(sorted[Math.floor(0.99 * sorted.length)])} ms`],
  ];
}

/** Bytes in use after a forced collection, again and again. */
async function grow(browser, signedIn, url, minutes) {
  const page = await open(browser, signedIn);
  await page.goto(url);
  await page.locator('.carriage rect').first().waitFor();
  const session = await page.context().newCDPSession(page);
  await session.send('Performance.enable');
  await session.send('HeapProfiler.enable');
  await wait(WARM_UP_S);
  const samples = [];
  const beginMs = performance.now();
  while (performance.now() - beginMs < minutes * 60_000) {
    await session.send('HeapProfiler.collectGarbage');
    const { usedSize } = await session.send('Runtime.getHeapUsage');
    const { metrics } = await session.send('Performance.getMetrics');
    const of = (wanted) => metrics.find(({ name }) => name === wanted).value;
    samples.push({ s: (performance.now() - beginMs) / 1000, bytes: usedSize, nodes: of('Nodes'), listeners: of('JSEventListeners') });
    await wait(SAMPLE_S);
  }
  await page.context().close();
  return samples;
}

function memoryRows(samples, minutes) {
  const slopes = samples.flatMap((a, i) => samples.slice(i + 1).map((b) => (b.bytes - a.bytes) / (b.s - a.s))).sort((a, b) => a - b);
  const anHour = (slope) => `${((slope * 3600) / 1e6).toFixed(2)} MB`;
  const [first, last] = [samples[0], samples.at(-1)];
  const middle = slopes.length === 0 ? NaN : median(slopes);
  // Sen's interval: so many ranks to either side of the middle slope, from the spread of Kendall's S; 1.645 for 90 %.
  const n = samples.length;
  const ranks = 1.645 * Math.sqrt((n * (n - 1) * (2 * n + 5)) / 18);
  const low = slopes[Math.max(0, Math.round((slopes.length - ranks) / 2) - 1)] ?? NaN;
  const high = slopes[Math.min(slopes.length - 1, Math.round((slopes.length + ranks) / 2))] ?? NaN;
  const sizes = samples.map(({ bytes }) => bytes / 1e6);
  return [
    [`heap after collection, first and last of ${minutes} min`, `${sizes[0].toFixed(2)} MB, ${sizes.at(-1).toFixed(2)} MB`],
    ['the same, least and most', `${Math.min(...sizes).toFixed(2)} MB, ${Math.max(...sizes).toFixed(2)} MB`],
    ['growth an hour, extrapolated (Theil-Sen slope and its 90 % interval)', `${anHour(middle)} (${anHour(low)} to ${anHour(high)})`],
    ['nodes, first and last; listeners, first and last', `${first.nodes}, ${last.nodes}; ${first.listeners}, ${last.listeners}`],
  ];
}

const percent = (share) => `${(100 * share).toFixed(1)} %`;
const wait = (seconds) => new Promise((resolve) => setTimeout(resolve, seconds * 1000));
