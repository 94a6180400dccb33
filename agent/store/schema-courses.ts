/**
 * What the tension was at its least and most, how warm it was, when a conveyor ran, and how springs were followed: what a take-up's
 * history is drawn of beside its position. Starts and stops are few and are kept one by one.
 */
export const COURSES = `
ALTER TABLE minute ADD COLUMN tension_min_n REAL;
ALTER TABLE minute ADD COLUMN tension_max_n REAL;
ALTER TABLE hour ADD COLUMN tension_min_n REAL;
ALTER TABLE hour ADD COLUMN tension_max_n REAL;
ALTER TABLE day ADD COLUMN tension_min_n REAL;
ALTER TABLE day ADD COLUMN tension_max_n REAL;
${['temperature_minute', 'temperature_hour', 'temperature_day'].map(temperatureTable).join('')}
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
`;

function temperatureTable(name: string): string {
  return `
CREATE TABLE ${name} (
  signal INTEGER NOT NULL,
  time_ms INTEGER NOT NULL,
  count INTEGER NOT NULL,
  min_c REAL,
  max_c REAL,
  mean_c REAL,
  chain_c REAL,
  PRIMARY KEY (signal, time_ms)
) STRICT, WITHOUT ROWID;
`;
}
