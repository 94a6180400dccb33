import { computed, useComputed } from '@preact/signals';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { alarmTitle } from '../logic/alarm-words.js';
import { pagingWords } from '../logic/paging-words.js';
import { WholeDates } from './whole-dates.js';
import { paging } from '../state/alarm-paging.js';
import { nowMs } from '../state/live.js';
import { placeWords } from '../state/places.js';
import { site } from '../state/session.js';

/** There may be hundreds of alarms, and nothing in these words is told to the second. */
const STEP_MS = 10_000;
const nowInSteps = computed(() => Math.floor(nowMs.value / STEP_MS) * STEP_MS);

/** Who was called for an alarm and what became of it, or why nobody was: a line, and all of it when it is opened. */
export function AlarmPagingDetail({ alarm }: { readonly alarm: StandingEntry }) {
  // As text, so that a clock that moves on draws nothing anew.
  const told = useComputed(() => {
    if (paging.value === undefined || typeof paging.value === 'string') return '';
    const known = paging.value.get(alarm.id);
    return known === undefined ? '' : JSON.stringify(pagingWords(known, nowInSteps.value, site.value?.timezone ?? 'UTC'));
  });
  if (typeof paging.value === 'string') return <p class="alarm-paging note">Who was paged cannot be told: {paging.value}</p>;
  if (told.value === '') return null;
  const { summary, trouble, paged, lines } = JSON.parse(told.value) as ReturnType<typeof pagingWords>;
  const words = (
    <>
      {trouble ? (
        <svg class="trouble-mark" viewBox="0 0 12 12" aria-hidden="true">
          <path d="M2 2 10 10 M10 2 2 10" />
        </svg>
      ) : null}
      <span class="unseen">
        {alarmTitle(alarm)}, {placeWords(alarm)}:{' '}
      </span>
      <WholeDates text={summary} />
    </>
  );
  if (lines.length === 0) return <p class={`alarm-paging ${trouble ? 'trouble' : ''}`}>{words}</p>;
  return (
    <details class={`alarm-paging ${trouble ? 'trouble' : ''}`}>
      <summary>{words}</summary>
      <ul>
        {lines.map((line, index) => (
          <li key={index}>
            <WholeDates text={line} />
          </li>
        ))}
      </ul>
      {paged ? <p class="note">Taken by the server says that a page left here, not that somebody has read it.</p> : null}
    </details>
  );
}
