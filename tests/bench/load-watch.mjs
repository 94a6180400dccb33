// What a reading goes through, seen from outside: when it is in the store, and when a screen has it.
import Database from 'better-sqlite3';
import { connectAsync } from 'mqtt';
import { io } from 'socket.io-client';
import { WebSocket } from 'ws';

const LOOK_MS = 10;

/** Signs in as a person does. @returns the session's cookie */
export async function signIn({ url, name, password }) {
  const response = await fetch(`${url}/api/session`, {
    method: 'POST',
    headers: { origin: url, 'content-type': 'application/json' },
    body: JSON.stringify({ name, password }),
  });
  if (!response.ok) throw new Error(`the sign-in answered ${response.status}`);
  return response.headers.getSetCookie()[0].split(';')[0];
}

/** Listens as a screen does. */
export async function watchScreen(url, cookie, sample) {
  const socket = io(url, { path: '/live', transports: ['websocket'], extraHeaders: { cookie, origin: url } });
  const look = firstShown(sample);
  socket.on('changes', ({ takeups = [] }) => {
    for (const picture of takeups) look(picture);
    socket.emit('taken');
  });
  await new Promise((resolve, reject) => {
    socket.once('picture', resolve);
    socket.once('connect_error', reject);
  });
  return () => socket.disconnect();
}

/**
 * A screen that only takes what it is sent: twenty that read it all would take the two cores away from what is measured. It speaks
 * engine.io 4 and socket.io 5: opened, it joins; asked, it answers; each message it says it has taken.
 */
export async function openScreen(url, cookie) {
  const socket = new WebSocket(`${url.replace(/^http/, 'ws')}/live/?EIO=4&transport=websocket`, { headers: { cookie, origin: url } });
  await new Promise((resolve, reject) => {
    socket.once('error', reject);
    socket.on('message', (data) => {
      const [head] = /^\d+/.exec(data.subarray(0, 16).toString('latin1')) ?? [''];
      if (head === '0') socket.send('40');
      else if (head === '2') socket.send('3');
      else if (head === '40') resolve();
      else if (head === '42') socket.send('42["taken"]');
    });
  });
  return () => socket.terminate();
}

/** Hears the agent's pictures at the broker, as the web server does. @param gap - is told how long after the one before a picture came */
export async function watchPictures(url, password, sample, gap) {
  const client = await connectAsync(url, { username: 'web', password, clientId: `load-pictures-${process.pid}` });
  const look = firstShown(sample);
  const cameMs = new Map();
  client.on('message', (topic, payload) => {
    const now = performance.now();
    if (cameMs.has(topic)) gap(now - cameMs.get(topic));
    cameMs.set(topic, now);
    look(JSON.parse(payload.toString()));
  });
  await client.subscribeAsync('takeline/load/out/+/+/now');
  return () => client.endAsync(true);
}

/** Tells how old the newest reading of a picture is. A picture may change for other reasons: a reading is counted when it is first shown. */
function firstShown(sample) {
  const shown = new Map();
  return ({ conveyor, takeup, left, right }) => {
    const newest = Math.max(Date.parse(left.positionAt ?? 0), Date.parse(right.positionAt ?? 0));
    const name = `${conveyor}/${takeup}`;
    if (newest === shown.get(name)) return;
    shown.set(name, newest);
    const ageMs = Date.now() - newest;
    if (ageMs < 10_000) sample({ publishedMs: newest, ageMs });
  };
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
