// What a reading goes through, seen from outside: when it is in the store, and when a screen has it.
import Database from 'better-sqlite3';
import { io } from 'socket.io-client';

const LOOK_MS = 10;

/** Signs in and listens as a screen does. */
export async function watchScreen({ url, name, password }, sample) {
  const response = await fetch(`${url}/api/session`, {
    method: 'POST',
    headers: { origin: url, 'content-type': 'application/json' },
    body: JSON.stringify({ name, password }),
  });
  if (!response.ok) throw new Error(`the sign-in answered ${response.status}`);
  const cookie = response.headers.getSetCookie()[0].split(';')[0];
  const socket = io(url, { path: '/live', transports: ['websocket'], extraHeaders: { cookie, origin: url } });
  const shown = new Map();
  socket.on('changes', ({ takeups = [] }, taken) => {
    const now = Date.now();
    for (const { conveyor, takeup, left, right } of takeups) {
      const newest = Math.max(Date.parse(left.positionAt ?? 0), Date.parse(right.positionAt ?? 0));
      const name = `${conveyor}/${takeup}`;
      // A picture may change for other reasons: a reading is counted when it is first shown.
      if (newest === shown.get(name)) continue;
      shown.set(name, newest);
      if (now - newest < 10_000) sample(now - newest);
    }
    taken();
  });
  await new Promise((resolve, reject) => {
    socket.once('picture', resolve);
    socket.once('connect_error', reject);
  });
  return () => socket.disconnect();
}

/** Looks again and again how old the newest reading in the journal is. */
export function watchStore(file, sample) {
  const db = new Database(file, { readonly: true });
  const newest = db.prepare('SELECT time_ms FROM reading ORDER BY seq DESC LIMIT 1').pluck();
  let last = 0;
  const timer = setInterval(() => {
    const time = newest.get() ?? 0;
    // Each write is counted once, when it is first seen.
    if (time !== last && Date.now() - time < 10_000) sample(Date.now() - time);
    last = time;
  }, LOOK_MS);
  return () => {
    clearInterval(timer);
    db.close();
  };
}

/** A share of sorted values from the least. */
export function quantile(values, share) {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? NaN;
}
