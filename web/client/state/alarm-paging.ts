import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { AlarmPaging, PagingAnswer } from '../../server/logic/answers.js';
import { ask } from './api.js';
import { isSignedOut, me, wordsOf } from './session.js';

/** What became of calling people, by alarm; undefined before the first answer, or why there is none. */
export const paging = signal<ReadonlyMap<string, AlarmPaging> | string | undefined>(undefined);

/** Pages leave and are answered without any alarm changing. */
const AGAIN_MS = 10_000;
/** An urgent page has left so soon after its alarm rose. */
const SOON_MS = 2_000;

/**
 * Asks who was paged about the alarms that a screen shows, when it appears, whenever they change, and every ten seconds while it is looked at.
 *
 * @param path - `''`, or the query that names a place
 * @param marks - change whenever an alarm does
 */
export function usePaging(path: string, marks: string): void {
  useEffect(() => {
    let wanted = true;
    let turn = 0;
    const look = (): void => {
      if (document.visibilityState !== 'visible') return;
      turn += 1;
      const mine = turn;
      // An answer that a later question has overtaken is the older one.
      const latest = (): boolean => wanted && mine === turn;
      ask<PagingAnswer>('GET', `/api/alarms/paging${path}`).then(
        ({ alarms }) => {
          if (latest()) paging.value = new Map(alarms.map((alarm) => [alarm.id, alarm]));
        },
        (error: unknown) => {
          if (isSignedOut(error)) me.value = null;
          else if (latest()) paging.value = wordsOf(error);
        },
      );
    };
    look();
    const soon = setTimeout(look, SOON_MS);
    const timer = setInterval(look, AGAIN_MS);
    return () => {
      wanted = false;
      clearTimeout(soon);
      clearInterval(timer);
    };
  }, [path, marks]);
}
