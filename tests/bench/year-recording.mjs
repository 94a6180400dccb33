// What the bench of a year works on: two sensors at 1 Hz, a running signal and an oven, written by DuckDB in the order of time.
import { DuckDBInstance } from '@duckdb/node-api';

export const SITE = `
site: { id: bench, name: Bench, timezone: Europe/Oslo, units: metric }
conveyors:
  - id: line
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 }
    signals: { running: { period_s: 60 } }
    zones: [{ id: oven, length_mm: 60000, reference_c: 120, temperature: { period_s: 60 } }]
    takeups:
      - id: tu1
        location: after the drive
        wrap_deg: 180
        stroke_mm: 230
        spring: { free_mm: 520, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12, per_side: 1 }
        reference: { at: 2025-01-01T00:00:00Z, position_mm: 40 }
        sides:
          left: { set: { at: 2025-01-01T00:00:00Z, position_mm: 40, spring_mm: 250 } }
          right: { set: { at: 2025-01-01T00:00:00Z, position_mm: 40, spring_mm: 250 } }
`;

export const BEGIN_MS = Date.parse('2025-01-01T00:00:00Z');

/** Rows of a minute: a running signal, an oven's temperature, and sixty readings of both sensors. */
const MINUTE_ROWS = 122;

/** Two shifts, breathing, noise of a tenth of a millimetre or two, 100 mm of travel in a year. Every row follows from its number. */
function rows(minutes, time) {
  return `
    SELECT ${time} AS "time",
      CASE k WHEN 0 THEN 'line/running' WHEN 1 THEN 'line/oven/temperature'
        ELSE CASE k % 2 WHEN 0 THEN 'line/tu1/left/position' ELSE 'line/tu1/right/position' END END AS signal,
      CASE k WHEN 0 THEN runs WHEN 1 THEN 40 + 80 * runs + (hash(s) % 10)::DOUBLE / 10
        ELSE round(80 + s * 100.0 / 31536000 + runs * 2 * sin(s / 9.0) + (k % 2) * 0.6 + ((hash(i) % 1000)::DOUBLE / 1000 - 0.5) * 0.4, 2)
        END AS value
    FROM (SELECT *, CASE WHEN (s // 3600) % 24 BETWEEN 5 AND 20 THEN 1.0 ELSE 0.0 END AS runs
      FROM (SELECT i, k, i // ${MINUTE_ROWS} * 60 + greatest(k - 2, 0) // 2 AS s
        FROM (SELECT i, i % ${MINUTE_ROWS} AS k FROM range(${minutes * MINUTE_ROWS}) AS t(i))))`;
}

/** Writes the same recording as CSV and as Parquet. */
export async function writeRecordings(days, csv, parquet) {
  const connection = await (await DuckDBInstance.create(':memory:')).connect();
  const minutes = Math.round(days * 1440);
  const at = `make_timestamp((${BEGIN_MS} + s * 1000) * 1000)`;
  if (parquet !== undefined) await connection.run(`COPY (${rows(minutes, at)}) TO '${parquet}' (FORMAT parquet, COMPRESSION zstd)`);
  if (csv !== undefined) await connection.run(`COPY (${rows(minutes, `strftime(${at}, '%Y-%m-%dT%H:%M:%SZ')`)}) TO '${csv}' (HEADER true)`);
  connection.closeSync();
}
