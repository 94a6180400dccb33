/** Settled windows of days that are over, which the agent need not have in memory; `numbers` are doubles, little-endian. */
export const PAST_DAYS = `
CREATE TABLE past_day (
  takeup_id INTEGER NOT NULL,
  date TEXT NOT NULL,
  from_ms REAL NOT NULL,
  to_ms REAL NOT NULL,
  numbers BLOB NOT NULL
) STRICT;
CREATE UNIQUE INDEX past_day_date ON past_day (takeup_id, date);
`;
