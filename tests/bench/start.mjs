// How soon an agent of 500 take-ups is at work after a start, and how much memory it takes, by the age of its history.
// usage: npm run bench start [-- ages of the history in days, default 30,365,730] [conveyors of four take-ups, default 125]
import { readFile, stat } from 'node:fs/promises';
import { cpus } from 'node:os';
import { join } from 'node:path';
import { LoadPlant } from './load-plant.mjs';
import { table } from './report.mjs';
import { HOW_MADE, writeHistory } from './start-history.mjs';
import { listen } from './start-watch.mjs';

const machine = `${cpus()[0]?.model ?? 'processor'} × ${cpus().length}`;
/** How long a loop of 1e8 additions takes on the machine at its usual speed. */
const USUAL_LOOP_S = 0.12;
const START_S = 3;
const HELD_UP_MS = 50;
const MEMORY_MB = 200;
/** So long after the start it is asked again and again, and heard how long its answers take. */
const ASKED_MS = 10_000;
/** Every sensor ten times a second. */
const LOAD = { seconds: 5 };

export async function run([ages = '30,365,730', conveyors = '125']) {
  process.stdout.write(`How the history is made: ${HOW_MADE}\n`);
  let empty;
  for (const days of [0, ...ages.split(',').map(Number)]) {
    const loopS = loop();
    const seen = await measure(Number(conveyors), days);
    empty ??= seen;
    const beside = (of) => `${(seen[of] / empty[of]).toFixed(2)} of an empty plant's`;
    const limitS = ((START_S * loopS) / USUAL_LOOP_S).toFixed(1);
    const age = days === 0 ? 'no history' : `${days} days of history`;
    table(`${4 * conveyors} take-ups, ${age}; ${machine}, a loop of 1e8 additions takes ${loopS.toFixed(2)} s (usually ${USUAL_LOOP_S})`, [
      ['start → ready to take readings', `${seen.readyS.toFixed(2)} s, ${beside('readyS')}`],
      ['start → picture of every take-up at the broker', `${seen.picturesS.toFixed(2)} s, ${beside('picturesS')}`],
      ['  limit', `${START_S} s; as fast as the machine is now, ${limitS} s`],
      ['the first start with this site file, which has to be read → ready', `${seen.firstS.toFixed(2)} s`],
      ['  pictures with a forecast', String(seen.forecasts)],
      [`asked again and again for ${ASKED_MS / 1000} s: answers, p50 / longest`, `${seen.answers}; limit ${HELD_UP_MS} ms`],
      ['memory then: resident, by share, its alone', `${seen.idle}; limit ${MEMORY_MB} MB resident`],
      [`the same with ${80 * conveyors} readings/s for ${LOAD.seconds} s`, seen.loaded],
      ['the most that was resident', `${seen.mostMb.toFixed(0)} MB`],
      ['the store on the disk', `${seen.diskMb.toFixed(0)} MB, made in ${seen.madeS.toFixed(0)} s`],
    ]);
  }
}

/** One start over so many days of history. */
async function measure(conveyors, days) {
  const plant = await LoadPlant.create(conveyors);
  try {
    const making = performance.now();
    if (days > 0) await writeHistory(plant.folder, conveyors, days);
    const madeS = (performance.now() - making) / 1000;
    const first = await plant.startAgent();
    await plant.kill('agent', 'SIGTERM');
    const ear = await listen(plant, 4 * conveyors);
    const begun = performance.now();
    const { readyMs } = await plant.startAgent();
    await ear.everyPicture;
    const picturesS = (performance.now() - begun) / 1000;
    const answers = await ear.askFor(ASKED_MS);
    const idle = memoryOf((await plant.used()).agent);
    await plant.publish({ ...LOAD, rate: 80 * conveyors });
    const loaded = memoryOf((await plant.used()).agent);
    await ear.stop();
    const status = await readFile(`/proc/${plant.parts.get('agent').child.pid}/status`, 'utf8');
    const mostMb = Number(/VmHWM:\s+(\d+)/.exec(status)?.[1]) / 1024;
    const diskMb = (await stat(join(plant.folder, 'takeline.sqlite'))).size / 2 ** 20;
    return {
      madeS,
      firstS: first.readyMs / 1000,
      readyS: readyMs / 1000,
      picturesS,
      forecasts: ear.forecasts(),
      answers,
      idle,
      loaded,
      mostMb,
      diskMb,
    };
  } finally {
    await plant.stop();
  }
}

function memoryOf({ rssMb, pssMb, privateMb }) {
  return [rssMb, pssMb, privateMb].map((mb) => `${mb.toFixed(0)} MB`).join(', ');
}

function loop() {
  const begun = performance.now();
  let sum = 0;
  for (let i = 0; i < 1e8; i++) sum += i;
  return sum > 0 ? (performance.now() - begun) / 1000 : NaN;
}
