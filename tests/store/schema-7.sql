PRAGMA application_id = 1416326254;
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
CREATE TABLE reading (
  seq INTEGER PRIMARY KEY,
  signal INTEGER NOT NULL,
  time_ms INTEGER NOT NULL,
  value REAL
) STRICT;
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
CREATE TABLE site_version (
  nr INTEGER PRIMARY KEY,
  time_ms INTEGER NOT NULL,
  by_whom TEXT,
  text TEXT NOT NULL,
  why TEXT
) STRICT;
CREATE TABLE reading_block (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  signal INTEGER NOT NULL,
  from_ms INTEGER NOT NULL,
  to_ms INTEGER NOT NULL,
  age_ms INTEGER NOT NULL,
  count INTEGER NOT NULL,
  size INTEGER NOT NULL,
  pinned INTEGER NOT NULL,
  bytes BLOB NOT NULL
) STRICT;
CREATE INDEX reading_block_signal ON reading_block (signal, from_ms);
CREATE INDEX reading_block_age ON reading_block (pinned, age_ms, count, size);
CREATE TABLE reading_moved (
  signal INTEGER PRIMARY KEY,
  seq INTEGER NOT NULL
) STRICT;
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
INSERT INTO signal (id, name) VALUES (1, 'enamel/running');
INSERT INTO takeup (id, conveyor, takeup) VALUES (1, 'enamel', 'tu1');
INSERT INTO reading (seq, signal, time_ms, value) VALUES (1, 1, 1772431200000, 1);
INSERT INTO reading_stretch (first_seq, last_seq, from_ms, to_ms) VALUES (1, 1, 1772431200000, 1772431200000);
INSERT INTO service_entry (seq, id, time_ms, taken_ms, conveyor, takeup, kind, body) VALUES (2, 'entry-a', 1772431200000, 1772434800000, 'enamel', 'tu1', 'chain-removed', '{"id":"entry-a","time":"2026-03-02T06:00:00.000Z","conveyor":"enamel","takeup":"tu1","kind":"chain-removed","pitches":4}');
INSERT INTO operator_action (seq, id, taken_ms, body) VALUES (3, 'request-a', 1772431200000, '{"verb":"acknowledge","alarm":"stroke-low"}');
INSERT INTO checkpoint (only_one, seq, fingerprint, state) VALUES (1, 2, 'site-a', '{"version":1}');
INSERT INTO settled_day (takeup_id, date, windows, position_mm, skew_mm, breathing_mm, thermal_mm, elastic_mm, pitches, elongation_pct, wear_per_joint_mm, spring_left_mm, spring_right_mm, strand_tension_n, flag) VALUES (1, '2026-03-02', 88, 61.25, -1.5, 3.25, 108, 2.5, 3200, 0.125, 0.095, 248, 249, 650, 'value');
INSERT INTO minute (takeup_id, time_ms, count, min_mm, max_mm, mean_mm, spring_min_mm, tension_n) VALUES (1, 1772431200000, 120, 60, 63, 61.5, 247, 640);
INSERT INTO hour (takeup_id, time_ms, count, min_mm, max_mm, mean_mm, spring_min_mm, tension_n) VALUES (1, 1772431200000, 120, 60, 63, 61.5, 247, 640);
INSERT INTO day (takeup_id, time_ms, count, min_mm, max_mm, mean_mm, spring_min_mm, tension_n) VALUES (1, 1772409600000, 120, 60, 63, 61.5, 247, 640);
INSERT INTO alarm_event (nr, id, time_ms, conveyor, takeup, side, signal, alarm, priority, change, from_state, to_state, value, limit_value, unit, by_whom, why) VALUES (1, 'event-a', 1772431200000, 'enamel', 'tu1', NULL, NULL, 'stroke-low', 'medium', 'raised', 'normal', 'unacknowledged', 45.5, 46, 'mm', NULL, NULL);
INSERT INTO finding (id, time_ms, from_ms, to_ms, conveyor, takeup, finding, move_mm, suggestion, text) VALUES ('finding-a', 1772434800000, 1772431200000, 1772433000000, 'enamel', 'tu1', 'chain-removed', -152.4, '{"kind":"chain-removed","pitches":4}', 'The carriage was drawn in by 152.4 mm: four pitches were taken out.');
INSERT INTO site_version (nr, time_ms, by_whom, text) VALUES (1, 1772431200000, 'engineer', 'site: {}');
CREATE TRIGGER service_entry_kept BEFORE DELETE ON service_entry BEGIN SELECT RAISE(ABORT, 'a service entry stays'); END;
CREATE TRIGGER service_entry_unchanged BEFORE UPDATE ON service_entry BEGIN SELECT RAISE(ABORT, 'a service entry stays as it is'); END;
CREATE INDEX alarm_event_time ON alarm_event (time_ms);
CREATE INDEX alarm_event_takeup ON alarm_event (conveyor, takeup, time_ms);
CREATE INDEX alarm_event_alarm ON alarm_event (alarm, time_ms);
CREATE TRIGGER alarm_event_kept BEFORE DELETE ON alarm_event BEGIN SELECT RAISE(ABORT, 'an alarm event stays'); END;
CREATE TRIGGER alarm_event_unchanged BEFORE UPDATE ON alarm_event BEGIN SELECT RAISE(ABORT, 'an alarm event stays as it is'); END;
CREATE INDEX finding_time ON finding (time_ms);
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
INSERT INTO page_desk (only_one, event_nr, state) VALUES (1, 1, '{"version":1}');
INSERT INTO page_message (nr, id, call, person, channel, address, made_ms, body, state, tries, next_ms, settled_ms, said) VALUES (1, 'page-a', 'call-a', 'marta', 'email', 'marta@alder-point.example', 1772431200000, '{}', 'waiting', 0, 1772431200000, NULL, NULL);
INSERT INTO page_note (nr, time_ms, reason, call, person, conveyor, takeup, signal, alarm) VALUES (1, 1772431200000, 'no-ladder', NULL, NULL, 'enamel', 'tu1', NULL, 'stroke-low');
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
INSERT INTO checkpoint_part (name, state) VALUES ('enamel', '{"way":{}}');
INSERT INTO retention (only_one, raw_days, minute_days, max_bytes) VALUES (1, 30.0, 400.0, NULL);
ALTER TABLE minute ADD COLUMN tension_min_n REAL;
ALTER TABLE minute ADD COLUMN tension_max_n REAL;
ALTER TABLE hour ADD COLUMN tension_min_n REAL;
ALTER TABLE hour ADD COLUMN tension_max_n REAL;
ALTER TABLE day ADD COLUMN tension_min_n REAL;
ALTER TABLE day ADD COLUMN tension_max_n REAL;

CREATE TABLE temperature_minute (
  signal INTEGER NOT NULL,
  time_ms INTEGER NOT NULL,
  count INTEGER NOT NULL,
  min_c REAL,
  max_c REAL,
  mean_c REAL,
  chain_c REAL,
  PRIMARY KEY (signal, time_ms)
) STRICT, WITHOUT ROWID;

CREATE TABLE temperature_hour (
  signal INTEGER NOT NULL,
  time_ms INTEGER NOT NULL,
  count INTEGER NOT NULL,
  min_c REAL,
  max_c REAL,
  mean_c REAL,
  chain_c REAL,
  PRIMARY KEY (signal, time_ms)
) STRICT, WITHOUT ROWID;

CREATE TABLE temperature_day (
  signal INTEGER NOT NULL,
  time_ms INTEGER NOT NULL,
  count INTEGER NOT NULL,
  min_c REAL,
  max_c REAL,
  mean_c REAL,
  chain_c REAL,
  PRIMARY KEY (signal, time_ms)
) STRICT, WITHOUT ROWID;

CREATE TABLE running_turn (
  conveyor TEXT NOT NULL,
  time_ms INTEGER NOT NULL,
  -- 1 running, 0 standing, NULL not known
  running INTEGER,
  PRIMARY KEY (conveyor, time_ms)
) STRICT, WITHOUT ROWID;

CREATE TABLE spring_setting (
  takeup_id INTEGER NOT NULL,
  side TEXT NOT NULL,
  time_ms INTEGER NOT NULL,
  setting TEXT NOT NULL,
  PRIMARY KEY (takeup_id, side, time_ms)
) STRICT, WITHOUT ROWID;
UPDATE minute SET tension_min_n = 611, tension_max_n = 668;
UPDATE hour SET tension_min_n = 611, tension_max_n = 668;
UPDATE day SET tension_min_n = 611, tension_max_n = 668;
INSERT INTO temperature_minute (signal, time_ms, count, min_c, max_c, mean_c, chain_c) VALUES (1, 1772431200000, 6, 180, 186, 183, NULL);
INSERT INTO temperature_hour (signal, time_ms, count, min_c, max_c, mean_c, chain_c) VALUES (1, 1772431200000, 6, 180, 186, 183, NULL);
INSERT INTO temperature_day (signal, time_ms, count, min_c, max_c, mean_c, chain_c) VALUES (1, 1772409600000, 6, 180, 186, 183, NULL);
INSERT INTO running_turn (conveyor, time_ms, running) VALUES ('enamel', 1772431200000, 1);
INSERT INTO spring_setting (takeup_id, side, time_ms, setting) VALUES (1, 'left', 1772431200000, '{"set":{"positionMm":40,"springMm":250},"spring":{"freeMm":320,"rateNPerMm":18,"solidMm":150,"clearanceMm":12,"perSide":1}}');
CREATE TABLE past_day (
  takeup_id INTEGER NOT NULL,
  date TEXT NOT NULL,
  from_ms REAL NOT NULL,
  to_ms REAL NOT NULL,
  numbers BLOB NOT NULL
) STRICT;
CREATE UNIQUE INDEX past_day_date ON past_day (takeup_id, date);
INSERT INTO past_day (takeup_id, date, from_ms, to_ms, numbers) VALUES (1, '2026-03-01', 1772320000000.0, 1772320600000.0, X'000000000000F03F');
PRAGMA user_version = 7;
