// Readings per second through the whole pipeline, against just reading the same file with the same reader, in one run.
// usage: npm run bench replay [-- rows in millions, default 4]
import { createWriteStream } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { once } from 'node:events';
import { openRecording } from '../../dist/agent/recording/open-recording.js';
import { replay } from '../../dist/agent/replay/replay.js';
import { readSite } from '../../dist/agent/site/read-site.js';
import { signalsOf } from '../../dist/agent/site/site.js';
import { median, table } from './report.mjs';

const ROUNDS = 3;

const SITE = `
site: { id: bench, name: Bench, timezone: Europe/Oslo, units: metric }
conveyors:
  - id: line
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 }
    signals: { running: { period_s: 60 } }
    zones: [{ id: oven, length_mm: 60000, reference_c: 20, temperature: { period_s: 10 } }]
    takeups:
      - id: tu1
        location: after the drive
        wrap_deg: 180
        stroke_mm: 230
        spring: { free_mm: 420, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12, per_side: 1 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides:
          left: { set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
          right: { set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
`;

/** Two sensors at 1 Hz, breathing and noise, a running signal and an oven: what a plant's recorder writes. */
async function writeRecording(path, rows) {
  const file = createWriteStream(path);
  file.write('time,signal,value\n');
  const start = Date.parse('2026-01-06T00:00:00Z');
  let state = 1;
  const noise = () => ((state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32 - 0.5) * 0.4;
  let block = '';
  for (let second = 0, written = 0; written < rows; second++) {
    const time = new Date(start + second * 1000).toISOString();
    const hour = (second / 3600) % 24;
    const running = hour >= 5 && hour < 21;
    if (second % 60 === 0) block += `${time},line/running,${running ? 1 : 0}\n`;
    if (second % 10 === 0) block += `${time},line/oven/temperature,${(running ? 120 : 40) + Math.round(noise() * 10) / 10}\n`;
    const mm = 80 + second / 86400 + (running ? 2 * Math.sin(second / 9) : 0);
    block += `${time},line/tu1/left/position,${(mm + noise()).toFixed(2)}\n${time},line/tu1/right/position,${(mm + 0.6 + noise()).toFixed(2)}\n`;
    written += 2;
    if (block.length > 1 << 20) {
      if (!file.write(block)) await once(file, 'drain');
      block = '';
    }
  }
  file.end(block);
  await once(file, 'finish');
}

async function timed(work) {
  const start = process.cpuUsage();
  const begun = performance.now();
  const rows = await work();
  const wall = (performance.now() - begun) / 1000;
  const cpu = process.cpuUsage(start);
  return { rows, wall, cpu: (cpu.user + cpu.system) / 1e6 };
}

export async function run(args) {
  const rows = Number(args[0] ?? 4) * 1e6;
  const read = readSite(SITE, 'bench.yaml');
  if (!read.ok) throw new Error(read.faults.map(({ message }) => message).join('\n'));
  const { site } = read;
  const folder = await mkdtemp(join(tmpdir(), 'takeline-bench-'));
  try {
    const path = join(folder, 'recording.csv');
    await writeRecording(path, rows);
    const names = signalsOf(site).map(({ name }) => name);
    const bare = () =>
      timed(async () => {
        const recording = openRecording(path, names, () => undefined);
        let last = 0;
        for await (const batch of recording) last = batch.timeMs[batch.count - 1] ?? last;
        return recording.rows;
      });
    const full = () => timed(async () => (await replay(site, path)).readings);
    await bare();
    const runs = { bare: [], full: [] };
    for (let round = 0; round < ROUNDS; round++) {
      runs.bare.push(await bare());
      runs.full.push(await full());
    }
    const rate = (list) => median(list.map((one) => one.rows / one.wall / 1e6));
    const ratio = (figure) => `${(100 * median(runs.full.map((one, i) => runs.bare[i][figure] / one[figure]))).toFixed(0)} %`;
    const perCore = (list) => median(list.map((one) => one.rows / one.cpu / 1e6));
    table(
      `replay: ${(runs.full[0].rows / 1e6).toFixed(1)} million readings, median of ${ROUNDS}, ${cpus()[0]?.model ?? 'processor'} × ${cpus().length}`,
      [
        ['reading the file alone', `${rate(runs.bare).toFixed(2)} M readings/s`],
        ['the whole pipeline', `${rate(runs.full).toFixed(2)} M readings/s`],
        ['pipeline over bare file, by the clock', ratio('wall')],
        // What another process takes of a shared machine is no cost of ours.
        ['by processor time: the file alone', `${perCore(runs.bare).toFixed(2)} M readings/s of one core`],
        ['by processor time: the whole pipeline', `${perCore(runs.full).toFixed(2)} M readings/s of one core`],
        ['pipeline over bare file, by processor time', ratio('cpu')],
      ],
    );
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
