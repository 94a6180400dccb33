import { effect, signal, type Signal } from '@preact/signals';
import type { BlankKey, StepKey } from '../../../agent/plan/job-card.js';
import type { CardAnswer, CloseAnswer } from '../../server/logic/card-answers.js';
import { changeOf, keep, parseKept, renewed, takenIn, waits, type KeeperContext, type KeptCard } from '../logic/kept-card.js';
import { ApiProblem, ask } from './api.js';
import { forget, remember, remembered, rememberedKeys } from './device.js';
import { connection } from './live.js';
import { isSignedOut, me, site, wordsOf } from './session.js';
import { tellWork } from './work.js';

/** The cards that this device has looked at, each as it is kept here. */
const cards = new Map<string, Signal<KeptCard | undefined>>();
/** What the last try to close a card found missing, by the card. */
const missing = new Map<string, Signal<Missing>>();

export type Missing = Readonly<Partial<Record<BlankKey | StepKey, string | undefined>>>;

const PREFIX = 'takeline.card.';
/** A pause in the typing after which it is sent. */
const PAUSE_MS = 800;
const AGAIN_MS = 5_000;

export function keptCard(number: string): Signal<KeptCard | undefined> {
  let kept = cards.get(number);
  if (kept === undefined) {
    const text = remembered(PREFIX + number);
    kept = signal(text === null ? undefined : parseKept(text));
    cards.set(number, kept);
  }
  return kept;
}

export function missingOf(number: string): Signal<Missing> {
  let found = missing.get(number);
  if (found === undefined) {
    found = signal({});
    missing.set(number, found);
  }
  return found;
}

export function contextOf({ card }: Pick<KeptCard, 'card'>): KeeperContext {
  return { units: card.units, timezone: site.value?.timezone ?? 'UTC', me: me.value?.name ?? '' };
}

/** Whether this device could keep the last change beyond this page: its storage may be forbidden or full. */
export const keptSafely = signal(true);

/** Keeps a card on this device, as the person who is signed in has it now, and sends what is new in it as soon as it can be sent. */
export function keepCard(number: string, kept: KeptCard): void {
  const own = { ...kept, by: me.value?.name };
  keptCard(number).value = own;
  keptSafely.value = remember(PREFIX + number, JSON.stringify(own));
  sendSoon();
}

/** Throws away what somebody wrote on a card and never sent. */
export function clearCard(number: string): void {
  const kept = keptCard(number).peek();
  if (kept !== undefined) store(number, keep(kept.card));
}

/** The last try to send found nobody: what waits is tried again by itself. */
export const sendFailed = signal(false);

/** Asks the server for a card. @throws ApiProblem where it cannot be had */
export async function loadCard(number: string): Promise<void> {
  const card = await ask<CardAnswer>('GET', pathOf(number));
  const kept = keptCard(number);
  store(number, kept.value === undefined ? keep(card) : renewed(kept.value, card, contextOf(kept.value)));
}

/** Gives a job up. @throws ApiProblem where it is worked on already, or the server cannot be reached */
export async function dropJobCard(number: string, why: string): Promise<void> {
  const card = await ask<CardAnswer>('POST', `${pathOf(number)}/drop`, { why });
  store(number, keep(card));
  tellWork(card.conveyor);
}

let timer: ReturnType<typeof setTimeout> | undefined;
let sending: Promise<void> | undefined;

function sendSoon(afterMs = PAUSE_MS): void {
  clearTimeout(timer);
  timer = setTimeout(() => void sendAll(), afterMs);
}

/** Sends what waits, whatever screen is shown; begun when somebody is signed in. @returns what ends it */
export function sendKeptCards(): () => void {
  for (const key of rememberedKeys(PREFIX)) keptCard(key.slice(PREFIX.length));
  const stop = effect(() => {
    if (connection.value.state === 'live') sendSoon(0);
  });
  return () => {
    stop();
    clearTimeout(timer);
  };
}

/** One round at a time: an answer tells which version the next change is made against. */
async function sendAll(): Promise<void> {
  if (sending !== undefined) {
    await sending;
    return sendAll();
  }
  sending = round();
  try {
    await sending;
  } finally {
    // A round that fails must not be the last one.
    sending = undefined;
  }
}

async function round(): Promise<void> {
  let again = false;
  for (const [number, { value }] of cards) {
    if (value === undefined || !waits(value, contextOf(value))) continue;
    if (!(await send(number, value))) again = true;
  }
  if (again) sendSoon(AGAIN_MS);
}

/** @returns whether it need not be tried again */
async function send(number: string, sent: KeptCard): Promise<boolean> {
  try {
    if (sent.beginning) {
      const card = await ask<CardAnswer>('POST', `${pathOf(number)}/begin`);
      store(number, { ...renewed(now(number, sent), card, contextOf(sent)), beginning: false });
    }
    const base = now(number, sent);
    const change = changeOf(base, contextOf(base));
    if (change !== undefined) {
      const card = await ask<CardAnswer>('PATCH', pathOf(number), change);
      store(number, takenIn(now(number, base), base, change, card, contextOf(base)));
    }
    if (now(number, sent).closing) await close(number, now(number, sent));
    sendFailed.value = false;
    return true;
  } catch (error) {
    return afterFailure(number, error);
  }
}

async function close(number: string, kept: KeptCard): Promise<void> {
  const { card, closed, missing: lacks, refused } = await ask<CloseAnswer>('POST', `${pathOf(number)}/close`);
  missingOf(number).value = Object.fromEntries(lacks.map(({ blank, step, sentence }) => [blank ?? step ?? '', sentence] as const));
  const left: KeptCard = { ...renewed(now(number, kept), card, contextOf(kept)), closing: false };
  store(number, closed || refused.length === 0 ? left : { ...left, refused: refused.join(' ') });
  tellWork(card.conveyor);
}

/** A dead line is waited for; a person who wrote in the same blank is heard; whatever else is said to whoever fills it in. */
async function afterFailure(number: string, error: unknown): Promise<boolean> {
  if (isSignedOut(error)) {
    me.value = null;
    return true;
  }
  if (!(error instanceof ApiProblem)) throw error;
  sendFailed.value = error.status === 0 || error.status >= 500;
  if (sendFailed.value) return false;
  const kept = keptCard(number).value;
  if (kept === undefined) return true;
  const fresh = error.status === 409 ? await ask<CardAnswer>('GET', pathOf(number)).catch(() => undefined) : undefined;
  if (fresh !== undefined && fresh.state === 'open' && fresh.version > kept.card.version) {
    store(number, renewed(kept, fresh, contextOf(kept)));
    return false;
  }
  store(number, {
    ...(fresh === undefined ? kept : renewed(kept, fresh, contextOf(kept))),
    beginning: false,
    closing: false,
    refused: wordsOf(error),
  });
  return true;
}

function now(number: string, otherwise: KeptCard): KeptCard {
  return keptCard(number).value ?? otherwise;
}

/** A card that is over and of which nothing is left to send is the server's alone. */
function store(number: string, kept: KeptCard): void {
  keptCard(number).value = kept;
  const over = kept.card.state !== 'open' && Object.keys(kept.typed).length === 0 && Object.keys(kept.ticks).length === 0;
  if (over) forget(PREFIX + number);
  else keptSafely.value = remember(PREFIX + number, JSON.stringify(kept));
}

function pathOf(number: string): string {
  return `/api/cards/${encodeURIComponent(number)}`;
}
