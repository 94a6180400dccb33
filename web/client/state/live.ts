import { batch, computed, signal, type ReadonlySignal, type Signal } from '@preact/signals';
import { io, type Socket } from 'socket.io-client';
import type { TakeupNow } from '../../../agent/contract/messages.js';
import { localTime } from '../../../agent/units/local-time.js';
import type { ChangesMessage, LinkState, LiveEvents, ScreenEvents, StandingEntry } from '../../server/logic/live-messages.js';
import { keepSame } from '../logic/alarm-groups.js';
import { alarmNews, type AlarmNews } from '../logic/alarm-news.js';
import { takeupKey } from '../logic/takeup-key.js';
import { troubleOf, type Connection } from '../logic/trouble.js';
import { drawSoon, forgetWaiting } from './arrivals.js';
import { lookForNewerScreens } from './newer-screens.js';
import { placeWords } from './places.js';
import { begin, me, site } from './session.js';
import { tellAllWork, tellWork } from './work.js';

/** The server gives a sign of life every second: after so long without one the line is broken, whatever the browser says. */
const BROKEN_AFTER_MS = 3_500;
const SECOND_MS = 1_000;
const RENEWAL_MS = 3_600_000;

/** Now, on the server's clock, in whole seconds: ages are counted from it, and nothing is drawn anew for less. */
export const nowMs = signal(wholeSecond(Date.now()));
/** The day at the plant, `YYYY-MM-DD`: changes once in 24 h, so what counts days is not drawn anew with every second. */
export const today = computed(() => localTime(nowMs.value, site.value?.timezone ?? 'UTC').date);
/** How many whole pictures have come: one more each time the line was broken and is whole again. */
export const pictures = signal(0);
export const connection = signal<Connection>({ state: 'connecting', sinceMs: Date.now() });
export const link = signal<LinkState | undefined>(undefined);
export const standing = signal<readonly StandingEntry[]>([]);
/** The latest news of alarms, for the announcer. */
export const news = signal<readonly AlarmNews[]>([]);
export const trouble = computed(() => troubleOf(connection.value, link.value));

/** Of how many take-ups anything has been heard. */
export const heardCount = signal(0);

/** Nothing has come from any take-up yet: that no alarm is known does not mean that none stands. */
export const nothingHeard = computed(
  () => heardCount.value === 0 && (link.value?.agent.state !== 'heard' || (site.value?.conveyors.length ?? 0) > 0),
);

/** In the place of a list that is empty only because nothing has come yet. */
export const NOT_HEARD_WORDS = 'Not known: nothing has been heard yet.';
/** The same of one take-up. */
export const NOT_HEARD_OF_IT_WORDS = 'Not known: nothing has been heard of it yet.';

/** In the place of a list of alarms that is empty. */
export const noneWords = computed(() => (trouble.value === undefined ? 'None stands.' : 'None stood when last heard.'));

/** One signal a take-up: what changes redraws that one alone. */
const takeups = new Map<string, Signal<TakeupNow | undefined>>();
const earlyDates = new Map<string, Signal<string | undefined>>();
/** Those that something on the screen is drawn from. */
const drawn = new Set<string>();
/** How far the server's clock is ahead of this one. */
let aheadMs = 0;
let lastSignMs = Date.now();

export function takeupNow(conveyor: string, takeup: string): Signal<TakeupNow | undefined> {
  const key = takeupKey(conveyor, takeup);
  let now = takeups.get(key);
  if (now === undefined) {
    now = signal<TakeupNow | undefined>(undefined, {
      watched: () => drawn.add(key),
      unwatched: () => drawn.delete(key),
    });
    takeups.set(key, now);
  }
  return now;
}

/** The earliest day on which a take-up's travel may be used up: changes once a day, not with each reading. */
export function earlyDate(conveyor: string, takeup: string): ReadonlySignal<string | undefined> {
  return earlyDateOf(takeupKey(conveyor, takeup));
}

function earlyDateOf(key: string): Signal<string | undefined> {
  let date = earlyDates.get(key);
  if (date === undefined) {
    date = signal(undefined);
    earlyDates.set(key, date);
  }
  return date;
}

/** Opens the live connection. @returns what closes it */
export function goLive(): () => void {
  const socket: Socket<LiveEvents, ScreenEvents> = io({
    path: '/live',
    transports: ['websocket', 'polling'],
    tryAllTransports: true,
    reconnectionDelay: 500,
    reconnectionDelayMax: 3_000,
  });
  // Somebody else may be signed in by the time an answer comes: then there is another connection.
  let closed = false;
  socket.on('picture', (picture) => {
    // The first picture is how things are, not news.
    if (link.value === undefined) standing.value = picture.standing;
    // After a break the server may be another one, with another site file and other screens.
    else {
      void begin();
      void lookForNewerScreens();
      tellAllWork();
    }
    take(picture, true);
    connection.value = { state: 'live', sinceMs: picture.atMs };
    pictures.value += 1;
  });
  socket.on('changes', (changes) => {
    take(changes, false);
    if (connection.value.state !== 'live') connection.value = { state: 'live', sinceMs: changes.atMs };
    socket.emit('taken');
  });
  socket.on('work', ({ conveyor }) => tellWork(conveyor));
  socket.on('disconnect', (reason) => {
    breakOff();
    // The server ended it: the session is over, or was begun anew in this browser.
    if (reason === 'io server disconnect') void begin().then(() => (me.value && !closed ? socket.connect() : undefined));
  });
  socket.on('connect_error', () => {
    breakOff();
    // A refusal and a dead line look alike from here; the API tells them apart.
    void begin();
  });
  const timer = setInterval(() => {
    nowMs.value = wholeSecond(Date.now() + aheadMs);
    if (Date.now() - lastSignMs > BROKEN_AFTER_MS) breakOff();
  }, SECOND_MS);
  // A wall that nobody touches stays signed in, and learns of another site file.
  const renewal = setInterval(() => void begin(), RENEWAL_MS);
  return () => {
    clearInterval(timer);
    clearInterval(renewal);
    closed = true;
    socket.disconnect();
    link.value = undefined;
    standing.value = [];
    news.value = [];
    forgetWaiting();
    for (const now of takeups.values()) now.value = undefined;
    for (const date of earlyDates.values()) date.value = undefined;
    heardCount.value = 0;
    connection.value = { state: 'connecting', sinceMs: nowMs.value };
  };
}

function take({ atMs, link: newLink, standing: newStanding, takeups: changed }: ChangesMessage, whole: boolean): void {
  aheadMs = atMs - Date.now();
  lastSignMs = Date.now();
  nowMs.value = wholeSecond(atMs);
  if (newLink !== undefined) link.value = newLink;
  if (whole) forgetWaiting();
  batch(() => {
    for (const now of changed ?? []) takeOne(now, whole);
  });
  if (newStanding !== undefined) {
    const fresh = alarmNews(standing.value, newStanding, placeWords);
    standing.value = keepSame(standing.value, newStanding);
    if (fresh.length > 0) news.value = fresh;
  }
}

/** What nothing is drawn from is there at once: it costs nothing. */
function takeOne(now: TakeupNow, atOnce: boolean): void {
  const key = takeupKey(now.conveyor, now.takeup);
  const latest = takeupNow(now.conveyor, now.takeup);
  const first = latest.peek() === undefined;
  if (first) heardCount.value += 1;
  earlyDateOf(key).value = now.trend.strokeOut?.early;
  if (atOnce || first || !drawn.has(key)) latest.value = now;
  else drawSoon(key, () => (latest.value = now));
}

function wholeSecond(ms: number): number {
  return Math.floor(ms / SECOND_MS) * SECOND_MS;
}

function breakOff(): void {
  if (connection.value.state !== 'broken') connection.value = { state: 'broken', sinceMs: lastSignMs + aheadMs };
}
