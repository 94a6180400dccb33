import { computed, signal } from '@preact/signals';
import type { UnitSystem } from '../../../agent/units/display.js';
import type { Permission } from '../../server/logic/permissions.js';
import type { SiteAnswer } from '../../server/logic/site-answer.js';
import type { MeAnswer } from '../../server/logic/answers.js';
import { ApiProblem, ask, askForSignIn } from './api.js';
import { unitChoice } from './preferences.js';

/** Who is signed in: `undefined` while that is not known, `null` for nobody. */
export const me = signal<MeAnswer | null | undefined>(undefined);

/** The site; undefined until it came. */
export const site = signal<SiteAnswer | undefined>(undefined);

/** Why the start went wrong, where it did. */
export const startProblem = signal<string | undefined>(undefined);

/** Somebody was signed in on this screen, and did not sign out on it: the session ended by itself, or elsewhere. */
export const sessionEnded = signal(false);
let wasSignedIn = false;
me.subscribe((now) => {
  sessionEnded.value = now === null && wasSignedIn;
  wasSignedIn = Boolean(now);
});

/** The units this person reads in. */
export const units = computed<UnitSystem>(() => (unitChoice.value === 'site' ? (site.value?.units ?? 'metric') : unitChoice.value));

export function may(permission: Permission): boolean {
  return me.value?.permissions.includes(permission) ?? false;
}

/** Asks who is signed in and, where somebody is, for the site. */
export async function begin(): Promise<void> {
  try {
    me.value = await ask<MeAnswer>('GET', '/api/me');
    site.value = await ask<SiteAnswer>('GET', '/api/site');
    startProblem.value = undefined;
  } catch (error) {
    if (isSignedOut(error)) me.value = null;
    else startProblem.value = wordsOf(error);
  }
}

/** @throws ApiProblem where name and password do not go together, or the line breaks before it is known who is signed in */
export async function signIn(name: string, password: string): Promise<void> {
  await askForSignIn<MeAnswer>('POST', '/api/session', { name, password });
  await begin();
  if (me.value === null) throw new ApiProblem(0, startProblem.value ?? 'Nobody is signed in yet. Sign in once more.');
}

/** @throws ApiProblem where the present one is wrong, or the new one is refused */
export async function changePassword(current: string, next: string): Promise<void> {
  me.value = await askForSignIn<MeAnswer>('POST', '/api/me/password', { current, next });
}

/** @throws ApiProblem where the server cannot be reached: this person is signed in still */
export async function signOut(): Promise<void> {
  try {
    await askForSignIn('DELETE', '/api/session');
  } catch (error) {
    if (!isSignedOut(error)) throw error;
  }
  wasSignedIn = false;
  me.value = null;
  site.value = undefined;
}

export function isSignedOut(error: unknown): boolean {
  return error instanceof ApiProblem && error.status === 401;
}

/** What to say of a failure. */
export function wordsOf(error: unknown): string {
  return error instanceof ApiProblem ? error.message : 'Something went wrong on this screen; load the page anew.';
}
