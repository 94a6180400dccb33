// One task of the bench of a year, in a process of its own: so that its peak of memory is its own.
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openRecording } from '../../dist/agent/recording/open-recording.js';
import { BenchSession } from '../../dist/agent/replay/bench/bench-session.js';
import { replay } from '../../dist/agent/replay/replay.js';
import { readSite } from '../../dist/agent/site/read-site.js';
import { signalsOf } from '../../dist/agent/site/site.js';
import { SITE } from './year-recording.mjs';

const INSTANTS = 20;

const [what, path] = process.argv.slice(2);
const read = readSite(SITE, 'bench.yaml');
if (!read.ok) throw new Error(read.faults.map(({ message }) => message).join('\n'));
const { site } = read;

async function scan() {
  const recording = openRecording(
    path,
    signalsOf(site).map(({ name }) => name),
    () => undefined,
  );
  for await (const batch of recording) if (batch.count < 0) break;
  return { rows: recording.rows };
}

/** Opens a session, and asks it about instants all over the recording and about another setting. */
async function bench() {
  const folder = await mkdtemp(join(tmpdir(), 'takeline-bench-'));
  let told = () => undefined;
  const ended = () =>
    new Promise((resolve, reject) => {
      told = ({ state, words }) => {
        if (state === 'done') resolve();
        if (state === 'failed') reject(new Error(words));
      };
    });
  const timed = async (work) => {
    const begun = performance.now();
    const answer = await work();
    return [performance.now() - begun, answer];
  };
  try {
    let readMs = 0;
    const begun = performance.now();
    const first = ended();
    const session = await BenchSession.open({ source: { kind: 'file', path }, folder, siteText: SITE, settings: {} }, (progress) => {
      if (progress.state === 'running' && readMs === 0) readMs = performance.now() - begun;
      told(progress);
    });
    await first;
    const openMs = performance.now() - begun;
    const result = await session.answer({ ask: 'result', run: 'a' });
    const span = result.lastMs - result.firstMs;
    const momentMs = [];
    const tracesMs = [];
    for (let i = 0; i < INSTANTS; i++) {
      // Spread over all of it, in no order.
      const timeMs = Math.round(result.firstMs + span * ((i * 0.618034 + 0.1) % 1));
      momentMs.push((await timed(() => session.answer({ ask: 'moment', run: 'a', timeMs })))[0]);
      const view = { fromMs: timeMs, toMs: timeMs + 3600_000, points: 1200, conveyor: 'line', takeup: 'tu1' };
      tracesMs.push((await timed(() => session.answer({ ask: 'traces', run: 'a', ...view })))[0]);
    }
    const whole = { fromMs: result.firstMs, toMs: result.lastMs, points: 1200, conveyor: 'line', takeup: 'tu1' };
    const [wholeMs] = await timed(() => session.answer({ ask: 'traces', run: 'a', ...whole }));
    const second = ended();
    const before = process.cpuUsage();
    const [secondMs, found] = await timed(async () => {
      const siteText = SITE.replace('sides:', 'limits: { stroke-low: { remaining_mm: 110 } }\n        sides:');
      await session.answer({ ask: 'second', variant: { siteText, settings: { smoothingS: 60 } } });
      await second;
      return session.answer({ ask: 'differences' });
    });
    const spent = process.cpuUsage(before);
    const secondCpuMs = (spent.user + spent.system) / 1000;
    return {
      rows: result.summary.recording.readings,
      readMs,
      openMs,
      momentMs,
      tracesMs,
      wholeMs,
      secondMs,
      secondCpuMs,
      differ: found.events.length,
    };
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

const TASKS = { scan, replay: async () => ({ rows: (await replay(site, path)).readings }), bench };

const begun = performance.now();
const figures = await TASKS[what]();
const { user, system } = process.cpuUsage();
process.send({
  ...figures,
  wallS: (performance.now() - begun) / 1000,
  cpuS: (user + system) / 1e6,
  peakMb: process.resourceUsage().maxRSS / 1024,
});
process.disconnect();
