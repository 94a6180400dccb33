const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;

/** How long something took or has been, in the coarsest words that still tell: `40 seconds`, `12 minutes`, `3 hours`, `5 days`. */
export function agoWords(ms: number): string {
  const past = Math.max(0, ms);
  if (past < 2 * MINUTE_MS) return counted(Math.floor(past / 1000), 'second');
  if (past < 2 * HOUR_MS) return counted(Math.floor(past / MINUTE_MS), 'minute');
  if (past < 2 * DAY_MS) return counted(Math.floor(past / HOUR_MS), 'hour');
  return counted(Math.floor(past / DAY_MS), 'day');
}

function counted(count: number, what: string): string {
  return `${String(count)} ${what}${count === 1 ? '' : 's'}`;
}
