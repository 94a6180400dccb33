import type { Migration } from './migrate.js';
import { COURSES } from './schema-courses.js';
import { PAST_DAYS } from './schema-past-days.js';

/**
 * The tables of the store. Times are epoch ms; a number that is not known is NULL. Names of take-ups and signals, which stand in
 * millions of rows, are kept once and pointed to.
 */
const FIRST = `
CREATE TABLE signal (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE takeup (
  id INTEGER PRIMARY KEY,
  conveyor TEXT NOT NULL,
  takeup TEXT NOT NULL,
  UNIQUE (conveyor, takeup)
) STRICT;

-- The journal is reading, service_entry and operator_action together: they share one sequence.
CREATE TABLE reading (
  seq INTEGER PRIMARY KEY,
  signal INTEGER NOT NULL,
  time_ms INTEGER NOT NULL,
  value REAL
) STRICT;

-- Where in the sequence a time is found: an index on every reading would double the journal.
CREATE TABLE reading_stretch (
  first_seq INTEGER PRIMARY KEY,
  last_seq INTEGER NOT NULL,
  from_ms INTEGER NOT NULL,
  to_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE service_entry (
  seq INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  time_ms INTEGER NOT NULL,
  taken_ms INTEGER NOT NULL,
  conveyor TEXT NOT NULL,
  takeup TEXT,
  kind TEXT NOT NULL,
  body TEXT NOT NULL
) STRICT;
CREATE TRIGGER service_entry_kept BEFORE DELETE ON service_entry BEGIN SELECT RAISE(ABORT, 'a service entry stays'); END;
CREATE TRIGGER service_entry_unchanged BEFORE UPDATE ON service_entry BEGIN SELECT RAISE(ABORT, 'a service entry stays as it is'); END;

CREATE TABLE operator_action (
  seq INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  taken_ms INTEGER NOT NULL,
  body TEXT NOT NULL
) STRICT;

CREATE TABLE checkpoint (
  only_one INTEGER PRIMARY KEY CHECK (only_one = 1),
  seq INTEGER NOT NULL,
  fingerprint TEXT NOT NULL,
  state TEXT NOT NULL
) STRICT;

CREATE TABLE settled_day (
  takeup_id INTEGER NOT NULL,
  date TEXT NOT NULL,
  windows INTEGER NOT NULL,
  position_mm REAL,
  skew_mm REAL,
  breathing_mm REAL,
  thermal_mm REAL,
  elastic_mm REAL,
  pitches REAL,
  elongation_pct REAL,
  wear_per_joint_mm REAL,
  spring_left_mm REAL,
  spring_right_mm REAL,
  strand_tension_n REAL,
  flag TEXT NOT NULL,
  PRIMARY KEY (takeup_id, date)
) STRICT, WITHOUT ROWID;

CREATE TABLE minute (
  takeup_id INTEGER NOT NULL,
  time_ms INTEGER NOT NULL,
  count INTEGER NOT NULL,
  min_mm REAL,
  max_mm REAL,
  mean_mm REAL,
  spring_min_mm REAL,
  tension_n REAL,
  PRIMARY KEY (takeup_id, time_ms)
) STRICT, WITHOUT ROWID;

-- Rolled up from the minutes, so that years are drawn as fast as hours.
CREATE TABLE hour (
  takeup_id INTEGER NOT NULL,
  time_ms INTEGER NOT NULL,
  count INTEGER NOT NULL,
  min_mm REAL,
  max_mm REAL,
  mean_mm REAL,
  spring_min_mm REAL,
  tension_n REAL,
  PRIMARY KEY (takeup_id, time_ms)
) STRICT, WITHOUT ROWID;

CREATE TABLE alarm_event (
  nr INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  time_ms INTEGER NOT NULL,
  conveyor TEXT NOT NULL,
  takeup TEXT,
  side TEXT,
  signal TEXT,
  alarm TEXT NOT NULL,
  priority TEXT NOT NULL,
  change TEXT NOT NULL,
  from_state TEXT NOT NULL,
  to_state TEXT NOT NULL,
  value REAL,
  limit_value REAL,
  unit TEXT NOT NULL,
  by_whom TEXT,
  why TEXT
) STRICT;
CREATE INDEX alarm_event_time ON alarm_event (time_ms);
CREATE INDEX alarm_event_takeup ON alarm_event (conveyor, takeup, time_ms);
CREATE INDEX alarm_event_alarm ON alarm_event (alarm, time_ms);
CREATE TRIGGER alarm_event_kept BEFORE DELETE ON alarm_event BEGIN SELECT RAISE(ABORT, 'an alarm event stays'); END;
CREATE TRIGGER alarm_event_unchanged BEFORE UPDATE ON alarm_event BEGIN SELECT RAISE(ABORT, 'an alarm event stays as it is'); END;

CREATE TABLE finding (
  id TEXT PRIMARY KEY,
  time_ms INTEGER NOT NULL,
  from_ms INTEGER NOT NULL,
  to_ms INTEGER NOT NULL,
  conveyor TEXT NOT NULL,
  takeup TEXT NOT NULL,
  finding TEXT NOT NULL,
  move_mm REAL,
  suggestion TEXT,
  text TEXT NOT NULL,
  state TEXT,
  by_whom TEXT
) STRICT;
CREATE INDEX finding_time ON finding (time_ms);

CREATE TABLE site_version (
  nr INTEGER PRIMARY KEY,
  time_ms INTEGER NOT NULL,
  by_whom TEXT,
  text TEXT NOT NULL
) STRICT;
`;

/** Raw readings of years: rows of `reading` move into blocks once the checkpoint has them well behind it. */
const BLOCKS = `
CREATE TABLE reading_block (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  signal INTEGER NOT NULL,
  from_ms INTEGER NOT NULL,
  to_ms INTEGER NOT NULL,
  -- When its readings were taken, for those whose clock was far off; else as to_ms.
  age_ms INTEGER NOT NULL,
  count INTEGER NOT NULL,
  size INTEGER NOT NULL,
  -- 1: what stood around an alarm, a finding or work on the take-up, and is kept for good.
  pinned INTEGER NOT NULL,
  bytes BLOB NOT NULL
) STRICT;
-- A signal's blocks lie one behind the other: each has what falls between its own start and that of the next.
CREATE INDEX reading_block_signal ON reading_block (signal, from_ms);
CREATE INDEX reading_block_age ON reading_block (pinned, age_ms, count, size);

-- Rows up to here stand in blocks, and go next.
CREATE TABLE reading_moved (
  signal INTEGER PRIMARY KEY,
  seq INTEGER NOT NULL
) STRICT;

-- Rolled up from the hours, so that decades are drawn as fast as days.
CREATE TABLE day (
  takeup_id INTEGER NOT NULL,
  time_ms INTEGER NOT NULL,
  count INTEGER NOT NULL,
  min_mm REAL,
  max_mm REAL,
  mean_mm REAL,
  spring_min_mm REAL,
  tension_n REAL,
  PRIMARY KEY (takeup_id, time_ms)
) STRICT, WITHOUT ROWID;
INSERT INTO day
  SELECT takeup_id, time_ms - time_ms % 86400000, sum(count), min(min_mm), max(max_mm),
    sum(mean_mm * count) / sum(count) FILTER (WHERE mean_mm IS NOT NULL),
    min(spring_min_mm),
    sum(tension_n * count) / sum(count) FILTER (WHERE tension_n IS NOT NULL)
  FROM hour GROUP BY 1, 2;
`;

/** Paging: where it stands, what waits to be delivered, and why no page went out. */
const PAGES = `
CREATE TABLE page_desk (
  only_one INTEGER PRIMARY KEY CHECK (only_one = 1),
  event_nr INTEGER NOT NULL,
  state TEXT NOT NULL
) STRICT;

CREATE TABLE page_message (
  nr INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  call TEXT NOT NULL,
  person TEXT NOT NULL,
  channel TEXT NOT NULL,
  address TEXT NOT NULL,
  made_ms INTEGER NOT NULL,
  body TEXT NOT NULL,
  state TEXT NOT NULL DEFAULT 'waiting',
  tries INTEGER NOT NULL DEFAULT 0,
  next_ms INTEGER NOT NULL,
  settled_ms INTEGER,
  said TEXT
) STRICT;
CREATE INDEX page_message_waiting ON page_message (nr) WHERE state = 'waiting';

CREATE TABLE page_note (
  nr INTEGER PRIMARY KEY,
  time_ms INTEGER NOT NULL,
  reason TEXT NOT NULL,
  call TEXT,
  person TEXT,
  conveyor TEXT,
  takeup TEXT,
  signal TEXT,
  alarm TEXT
) STRICT;
`;

/**
 * The saved state in parts, of which those that are the same as before are not written again; and for how long the agent keeps history,
 * which whoever shows it may have to tell while the agent is away.
 */
const PARTS = `
CREATE TABLE checkpoint_part (
  name TEXT NOT NULL UNIQUE,
  state TEXT NOT NULL
) STRICT;

CREATE TABLE retention (
  only_one INTEGER PRIMARY KEY CHECK (only_one = 1),
  raw_days REAL NOT NULL,
  minute_days REAL NOT NULL,
  max_bytes INTEGER
) STRICT;
`;

/** The schema's history. */
export const MIGRATIONS: readonly Migration[] = [
  {
    version: 1,
    what: 'journal, checkpoint, settled days, minutes and hours, alarm events, findings, service log, site versions',
    sql: FIRST,
  },
  { version: 2, what: 'compact raw history in blocks, days rolled up', sql: BLOCKS },
  { version: 3, what: 'paging: its state, the outbox, and why no page went out', sql: PAGES },
  { version: 4, what: 'why a site file was changed', sql: 'ALTER TABLE site_version ADD COLUMN why TEXT' },
  { version: 5, what: 'the saved state by conveyor; for how long history is kept', sql: PARTS },
  { version: 6, what: 'extremes of the tension, temperatures, starts and stops, how springs are followed', sql: COURSES },
  { version: 7, what: 'settled windows of past days by the day', sql: PAST_DAYS },
];

/**
 * Tables that are looked through at every start: what is kept for good and cannot be had again. Readings and minutes would take
 * minutes to check; damage there shows when they are read.
 */
export const CHECKED_TABLES = [
  'checkpoint',
  'checkpoint_part',
  'past_day',
  'service_entry',
  'operator_action',
  'alarm_event',
  'settled_day',
  'finding',
  'site_version',
  'page_desk',
  'page_message',
] as const;
