import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { RefObject } from 'preact';
import { localTime } from '../../../agent/units/local-time.js';
import { isUp } from '../logic/alarm-words.js';
import { largestThatFits, ROW_PX } from '../logic/floor-room.js';
import { wallPage, wallPages, wallShift } from '../logic/wall-pages.js';
import { listed } from '../state/floor-list.js';
import { nowMs, trouble } from '../state/live.js';
import { site } from '../state/session.js';
import { keepAwake } from '../state/wake-lock.js';
import { RowList, SiteAlarms, summary } from './floor.js';

/** The names of the columns above the rows, and as much as the picture is moved by; px. */
const ABOVE_ROWS_PX = 24;

/** The floor for a wall: no controls, page after page by itself where not all fits, never quite still. Escape leaves. */
export function WallScreen({ pageMs }: { readonly pageMs: number }) {
  const head = useRef<HTMLElement>(null);
  const height = useHeightBelow(head);
  const count = listed.value.length;
  const room = largestThatFits(count, height - ABOVE_ROWS_PX);
  const needy = listed.value.filter(({ alarms }) => alarms.some(({ state }) => isUp(state))).length;
  const pages = wallPages(listed.value, Math.floor((height - ABOVE_ROWS_PX) / ROW_PX[room]), needy);
  const page = wallPage(pages.length, nowMs.value, pageMs);
  const [x, y] = wallShift(nowMs.value);
  const { date, minutes } = localTime(nowMs.value, site.value?.timezone ?? 'UTC');
  useEffect(keepAwake, []);
  useEffect(() => {
    const leave = (event: KeyboardEvent): void => {
      if (event.key === 'Escape') location.hash = '#/';
    };
    addEventListener('keydown', leave);
    return () => removeEventListener('keydown', leave);
  }, []);
  return (
    <section class={`floor wall ${trouble.value === undefined ? '' : 'stale'}`} data-room={room} style={{ translate: `${x}px ${y}px` }}>
      <header class="wall-head" ref={head}>
        <h1>
          {site.value?.name}: {summary(count)}
        </h1>
        <SiteAlarms still />
        {pages.length > 1 ? (
          <span class="wall-page">
            {page + 1} of {pages.length}
          </span>
        ) : null}
        <time class="clock">{`${date} ${minutes}`}</time>
      </header>
      <h2 class="unseen">Take-ups</h2>
      {count === 0 ? <p class="nothing">The site has no take-ups.</p> : <RowList rows={pages[page] ?? []} room={room} still />}
    </section>
  );
}

/** How much of the screen is below an element, which itself may grow: another alarm, or a banner above it. */
function useHeightBelow(element: RefObject<HTMLElement | null>): number {
  const [height, setHeight] = useState(innerHeight);
  const measure = (): void => {
    if (element.current !== null) setHeight(Math.floor(innerHeight - element.current.getBoundingClientRect().bottom));
  };
  useLayoutEffect(measure);
  useEffect(() => {
    addEventListener('resize', measure);
    return () => removeEventListener('resize', measure);
  }, []);
  return height;
}
