// Years of history of the load plant, made in seconds: the last days read through the pipeline, the days before laid before them.
import { Pipeline } from '../../dist/agent/pipeline.js';
import { CheckpointMaker } from '../../dist/agent/live/checkpoint.js';
import { WINDOW_NUMBERS } from '../../dist/agent/flow/ledger/packed-windows.js';
import { siteSettings } from '../../dist/agent/flow/way/site-settings.js';
import { readSite } from '../../dist/agent/site/read-site.js';
import { openSqliteWriter } from '../../dist/agent/store/sqlite-writer.js';
import { siteOf } from './load-plant.mjs';

const DAY_MS = 86_400_000;
/** Read for so many days: four are kept window by window, and one before them is needed as a pattern for all older ones. */
const READ_DAYS = 6;
const EVERY_MS = 10_000;
/** Where the carriages stand at the end, and how far they go out a day. */
const END_MM = 180;
const WEAR_MM = 0.05;
const GAIN = 2;
/** Readings that stand in the journal at its end. */
const JOURNALLED = 20_000;

export const HOW_MADE = `one conveyor of four take-ups was read every ${EVERY_MS / 1000} s for ${READ_DAYS} days through the pipeline; its older days are its
  first whole day over again, moved by the wear and a scatter of a tenth of a millimetre; the other conveyors have the same under names
  of their own. Settled days and state were written by the store's own code. Minutes and hours are left out: a start does not look at them.
`;

/**
 * Writes so many days of history, up to now, into a data folder.
 * @param days - at least `READ_DAYS`
 */
export async function writeHistory(dataDir, conveyors, days) {
  const { saved, rows } = onePast(days);
  const { site } = readSite(siteOf(conveyors), 'load.yaml');
  // What was worked out for a conveyor says for which one.
  const marks = new Pipeline(site).ways.map(({ account }) => account.save().mark);
  const named = (text, i) => JSON.parse(text.replaceAll('line0', `line${i}`).replaceAll(`"mark":${marks[0]}`, `"mark":${marks[i]}`));
  const wayText = JSON.stringify(saved.ways.line0);
  const rowsText = JSON.stringify(rows, (_, value) => (Number.isNaN(value) ? null : value));
  const ways = Object.fromEntries(site.conveyors.map(({ id }, i) => [id, named(wayText, i)]));
  const pipeline = new Pipeline(site, siteSettings(site.filter), { ...saved, ways });
  const store = await openSqliteWriter({ dataDir, signals: pipeline.signals });
  try {
    await store.appendReadings(lastReadings(pipeline.signals.length, saved.nowMs));
    for (let i = 0; i < conveyors; i++) await store.writeOutputs({ days: named(rowsText, i) });
    await store.writeOutputs({ checkpoint: new CheckpointMaker(pipeline).make(store.lastSeq) });
  } finally {
    await store.stop();
  }
}

/** The state of one conveyor with its past, and the rows of its settled days. */
function onePast(days) {
  const { site } = readSite(siteOf(1), 'load.yaml');
  const settings = siteSettings(site.filter);
  const read = new Pipeline(site, settings);
  const endMs = Math.floor(Date.now() / EVERY_MS) * EVERY_MS;
  const beginMs = endMs - READ_DAYS * DAY_MS;
  const out = [];
  for (let timeMs = beginMs; timeMs <= endMs; timeMs += EVERY_MS) {
    const age = (endMs - timeMs) / DAY_MS;
    for (const signal of read.signals.keys()) {
      const breathing = 2 * Math.sin(timeMs / 300_000 + (signal >> 1));
      read.read(signal, timeMs, hundredth(END_MM - WEAR_MM * age + breathing + 0.2 * scatter(timeMs / 1000 + signal)), out);
    }
    out.length = 0;
  }
  const state = JSON.parse(JSON.stringify(read.save()));
  const { account } = state.ways.line0;
  account.histories = account.histories.map((history, takeup) => withPast(history, takeup, days));
  // What was given out of the days is found out anew, so that the state knows of all of them.
  const whole = new Pipeline(site, settings, state);
  const rows = whole.finish().filter(({ kind }) => kind === 'settled-day');
  return { saved: JSON.parse(JSON.stringify(whole.save())), rows };
}

/** The first whole day of a history that was drawn together, over and over again before it. */
function withPast({ dates, rows }, takeup, days) {
  const first = dates.findIndex((date) => date !== dates[0]);
  const [date, row] = [dates[first], rows[first]];
  const past = Array.from({ length: days - READ_DAYS }, (_, i) => days - READ_DAYS - i).map((ago) => {
    const movedMm = scatter(7 * ago + takeup) / 10 - WEAR_MM * ago;
    const shifts = {
      ...Object.fromEntries(['mean', 'left', 'right', 'least', 'most'].map((field) => [field, movedMm])),
      ...{ fromMs: -ago * DAY_MS, toMs: -ago * DAY_MS, othersTakenUp: -3 * GAIN * WEAR_MM * ago, runHours: 24 * (days - READ_DAYS - ago) },
    };
    return WINDOW_NUMBERS.map((field, i) => (typeof row[i] === 'number' ? row[i] + (shifts[field] ?? 0) : row[i]));
  });
  const runHours = WINDOW_NUMBERS.indexOf('runHours');
  const since = rows.slice(first).map((one) => one.map((value, i) => (i === runHours ? value + 24 * (days - READ_DAYS) : value)));
  const dateOf = (one) => new Date(Date.parse(date) + Math.round((one - row[WINDOW_NUMBERS.indexOf('toMs')]) / DAY_MS) * DAY_MS);
  const pastDates = past.map((one) => dateOf(one[WINDOW_NUMBERS.indexOf('toMs')]).toISOString().slice(0, 10));
  return { dates: [...pastDates, ...dates.slice(first)], rows: [...past, ...since] };
}

function lastReadings(signals, endMs) {
  return {
    count: JOURNALLED,
    signal: Int32Array.from({ length: JOURNALLED }, (_, i) => i % signals),
    timeMs: Float64Array.from({ length: JOURNALLED }, (_, i) => endMs - EVERY_MS * Math.floor((JOURNALLED - 1 - i) / signals)),
    value: new Float64Array(JOURNALLED).fill(END_MM),
  };
}

function hundredth(mm) {
  return Math.round(100 * mm) / 100;
}

/** −0.5 … 0.5, always the same of the same. */
function scatter(of) {
  const x = Math.sin(of * 12.9898) * 43_758.5453;
  return x - Math.floor(x) - 0.5;
}
