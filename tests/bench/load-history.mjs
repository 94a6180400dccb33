// What years of history take on the disk, and how quickly they are drawn.
import { mkdtemp, rm, stat } from 'node:fs/promises';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { exportToFile } from '../../dist/agent/live/export-readings.js';
import { openSqliteReader } from '../../dist/agent/store/sqlite-reader.js';
import { openSqliteWriter } from '../../dist/agent/store/sqlite-writer.js';
import { median, table } from './report.mjs';

const BEGIN_MS = Date.parse('2025-01-01T00:00:00Z');
const HOUR_MS = 3_600_000;
const SENSORS = 200;
const READINGS_EACH = 6000;
const TAKEUPS = 500;
const YEAR_HOURS = 365 * 24;
const machine = `${cpus()[0]?.model ?? 'processor'} × ${cpus().length}`;

export async function history() {
  const folder = await mkdtemp(join(tmpdir(), 'takeline-history-'));
  try {
    await disk(folder);
    await trend(folder);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** Bytes a reading: plain rows, the CSV gzipped, and as it is kept. */
async function disk(folder) {
  const signals = Array.from({ length: SENSORS }, (_, i) => `line${i >> 1}/tu1/${i % 2 ? 'left' : 'right'}/position`);
  const writer = await openSqliteWriter({ dataDir: folder, signals });
  const batch = {
    count: SENSORS,
    signal: Int32Array.from(signals.keys()),
    timeMs: new Float64Array(SENSORS),
    value: new Float64Array(SENSORS),
  };
  let noise = 1;
  for (let round = 0; round < READINGS_EACH; round++) {
    for (let i = 0; i < SENSORS; i++) {
      noise = (noise * 48_271) % 2_147_483_647;
      batch.timeMs[i] = BEGIN_MS + round * 100 + (noise % 5);
      batch.value[i] = Math.round(100 * (80 + 2 * Math.sin((round + i) / 37) + 0.2 * (noise / 2_147_483_647 - 0.5))) / 100;
    }
    await writer.appendReadings(batch);
  }
  const count = SENSORS * READINGS_EACH;
  const rows = pagesOf(folder, ['reading', 'reading_stretch']) / count;
  await writer.writeOutputs({ checkpoint: { seq: writer.lastSeq, fingerprint: 'bench', state: '{}' } });
  const steps = [];
  const cpu = process.cpuUsage();
  for (let more = true; more;) {
    const begun = performance.now();
    more = await writer.compactReadings();
    steps.push(performance.now() - begun);
  }
  const { user, system } = process.cpuUsage(cpu);
  const reader = await openSqliteReader({ dataDir: folder });
  const { readings } = (await reader.diskUse()).blocks;
  const blocks = pagesOf(folder, ['reading_block', 'reading_block_signal', 'reading_block_age']) / readings;
  const zipped = join(folder, 'all.csv.gz');
  const exporting = performance.now();
  await exportToFile(reader, { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER }, zipped);
  const exportS = (performance.now() - exporting) / 1000;
  const gzip = (await stat(zipped)).size / count;
  await reader.stop();
  await writer.stop();
  table(`${count / 1e6} M readings at 10/s to the hundredth of a millimetre, clocks that waver by 5 ms, ${machine}`, [
    ['plain rows', `${rows.toFixed(1)} bytes a reading`],
    ['CSV, gzipped', `${gzip.toFixed(2)} bytes a reading`],
    ['blocks, with their indexes and all that is empty in them', `${blocks.toFixed(2)} bytes a reading`],
    ['moving them', `${((user + system) / readings).toFixed(2)} µs of processor time a reading`],
    ['a step of it, median / longest', `${median(steps).toFixed(1)} / ${Math.max(...steps).toFixed(1)} ms`],
    ['export to CSV, gzipped', `${Math.round(count / exportS / 1000)} thousand readings/s`],
  ]);
}

/** A year of one take-up among 500, against the raw rows of a sensor that is read every ten seconds. */
async function trend(folder) {
  const dataDir = join(folder, 'years');
  const writer = await openSqliteWriter({ dataDir, signals: ['line0/tu1/left/position'] });
  const db = new Database(join(dataDir, 'takeline.sqlite'));
  db.pragma('synchronous = OFF');
  db.exec(`
    WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i < ${TAKEUPS - 1})
      INSERT INTO takeup SELECT i + 1, 'line' || i, 'tu1' FROM n;
    WITH RECURSIVE h(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM h WHERE i < ${2 * YEAR_HOURS - 1})
      INSERT INTO hour SELECT takeup.id, ${BEGIN_MS} + i * ${HOUR_MS}, 7200, 80 + i % 7, 84 + i % 11, 82, 250, 900, 800, 1000 FROM takeup, h;
    INSERT INTO day SELECT takeup_id, time_ms - time_ms % 86400000, sum(count), min(min_mm), max(max_mm), 82, 250, 900, 800, 1000 FROM hour GROUP BY 1, 2;
    INSERT INTO signal (name) SELECT 'line' || (id - 1) || '/furnace/temperature' FROM takeup;
    WITH RECURSIVE h(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM h WHERE i < ${2 * YEAR_HOURS - 1})
      INSERT INTO temperature_hour SELECT signal.id, ${BEGIN_MS} + i * ${HOUR_MS}, 360, 180, 186, 183, NULL FROM signal, h WHERE name LIKE '%/temperature';
    WITH RECURSIVE t(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM t WHERE i < ${4 * 730 - 1})
      INSERT INTO running_turn SELECT conveyor, ${BEGIN_MS} + i * ${6 * HOUR_MS}, i % 2 FROM takeup, t;
    INSERT INTO settled_day SELECT takeup_id, date(time_ms / 1000, 'unixepoch'), 80, 82, 1, 4, 0, 0, 3200, 0.1, 0.07, 250, 250, 900, 'value' FROM day;
    WITH RECURSIVE r(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM r WHERE i < ${YEAR_HOURS * 360 - 1})
      INSERT INTO reading SELECT i + 1, 1, ${BEGIN_MS} + i * 10000, 80 + i % 7 FROM r;
    INSERT INTO reading_stretch SELECT min(seq), max(seq), min(time_ms), max(time_ms) FROM reading;
    UPDATE hour SET max_mm = 119.5 WHERE takeup_id = 250 AND time_ms = ${BEGIN_MS} + 5000 * ${HOUR_MS};
  `);
  const raw = db.prepare(
    `SELECT time_ms - time_ms % 21600000, min(value), max(value), avg(value) FROM reading WHERE signal = 1 AND time_ms < ? GROUP BY 1`,
  );
  const scanning = timed(5, () => raw.all(BEGIN_MS + YEAR_HOURS * HOUR_MS));
  db.close();
  const reader = await openSqliteReader({ dataDir });
  const query = { conveyor: 'line249', takeup: 'tu1', fromMs: BEGIN_MS, toMs: BEGIN_MS + YEAR_HOURS * HOUR_MS, px: 1500 };
  const took = [];
  let series;
  for (let i = 0; i < 15; i++) {
    const begun = performance.now();
    series = await reader.positionSeries(query);
    took.push(performance.now() - begun);
  }
  const courses = [];
  const { fromMs, toMs } = query;
  for (let i = 0; i < 15; i++) {
    const begun = performance.now();
    await reader.conveyorCourse({
      conveyor: 'line249',
      temperatures: ['line249/furnace/temperature'],
      fromMs,
      toMs,
      widthMs: series.widthMs,
    });
    courses.push(performance.now() - begun);
  }
  await reader.stop();
  await writer.stop();
  const opening = performance.now();
  const again = await openSqliteWriter({ dataDir, signals: ['line0/tu1/left/position'] });
  const openS = (performance.now() - opening) / 1000;
  await again.stop();
  table(`two years of ${TAKEUPS} take-ups, ${machine}`, [
    ['a year of one take-up at 1,500 px', `${median(took).toFixed(1)} ms, ${series.timeMs.length} points from ${series.source}`],
    ['beside it a temperature, and when the conveyor ran, four turns a day', `${median(courses).toFixed(1)} ms`],
    ['a surge of one take-up in it', series.maxMm.includes(119.5) ? 'shows' : 'is lost'],
    ['the same from raw rows, read every ten seconds', `${median(scanning).toFixed(0)} ms`],
    ['opening the store', `${openS.toFixed(2)} s`],
  ]);
}

function timed(times, work) {
  return Array.from({ length: times }, () => {
    const begun = performance.now();
    work();
    return performance.now() - begun;
  });
}

/** Bytes of the pages of some tables and indexes, whatever is empty in them. */
function pagesOf(dataDir, names) {
  const db = new Database(join(dataDir, 'takeline.sqlite'), { readonly: true });
  const sum = db.prepare('SELECT sum(pgsize) FROM dbstat WHERE name = ? AND aggregate = TRUE').pluck();
  const bytes = names.reduce((total, name) => total + (sum.get(name) ?? 0), 0);
  db.close();
  return bytes;
}
