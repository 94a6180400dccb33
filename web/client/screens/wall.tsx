import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { RefObject } from 'preact';
import { localTime } from '../../../agent/units/local-time.js';
import { isUp } from '../logic/alarm-words.js';
import { largestThatFits, ROW_PX, type Room } from '../logic/floor-room.js';
import { wallPage, wallPages, wallShift } from '../logic/wall-pages.js';
import { listed, type Listed } from '../state/floor-list.js';
import { nowMs, trouble } from '../state/live.js';
import { site } from '../state/session.js';
import { keepAwake } from '../state/wake-lock.js';
import { FloorRow } from './floor-row.js';
import { Heads, SiteAlarms, summary } from './floor.js';

/** The names of the columns above the rows, and as much as the picture is moved by; px. */
const ABOVE_ROWS_PX = 24;
/** So long before its turn a page is prepared: to draw it takes several frames' worth of time, in which nothing else would move. */
const AHEAD_MS = 2_000;
/** So many leave room on a wall for larger letters. */
const FEW = 2;

/** The floor for a wall: no controls, page after page by itself where not all fits, never quite still. Escape leaves. */
export function WallScreen({ pageMs }: { readonly pageMs: number }) {
  const head = useRef<HTMLElement>(null);
  const height = useHeightBelow(head);
  const count = listed.value.length;
  const room = largestThatFits(count, height - ABOVE_ROWS_PX);
  const needy = listed.value.filter(({ alarms }) => alarms.some(({ state }) => isUp(state))).length;
  const pages = wallPages(listed.value, Math.floor((height - ABOVE_ROWS_PX) / ROW_PX[room]), needy);
  const [page, next] = [nowMs.value, nowMs.value + AHEAD_MS].map((atMs) => wallPage(pages.length, atMs, pageMs)) as [number, number];
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
      {count === 0 ? <p class="nothing">The site has no take-ups.</p> : null}
      {room === 'row' && count > 0 ? <Heads /> : null}
      <div class="wall-pages">
        {pages.map((rows, one) =>
          one === page || one === next ? <WallPage key={one} rows={rows} room={room} shown={one === page} /> : null,
        )}
      </div>
    </section>
  );
}

interface WallPageProps {
  readonly rows: readonly Listed[];
  readonly room: Room;
  /** Before its turn it is there and laid out, but not seen. */
  readonly shown: boolean;
}

function WallPage({ rows, room, shown }: WallPageProps) {
  const ready = useReady(rows.length, shown);
  return (
    <ul class={`rows ${shown ? '' : 'ahead'} ${rows.length <= FEW ? 'few' : ''}`}>
      {rows.slice(0, ready).map(({ key, conveyor, takeup, alarms }) => (
        <FloorRow key={key} conveyor={conveyor} takeup={takeup} alarms={alarms} size={room} still />
      ))}
    </ul>
  );
}

/** How many rows of a page are there: one more with each frame before its turn, all of them once it is shown. */
function useReady(count: number, shown: boolean): number {
  const [ready, setReady] = useState(0);
  useEffect(() => {
    if (shown || ready >= count) return undefined;
    const frame = requestAnimationFrame(() => setReady(ready + 1));
    return () => cancelAnimationFrame(frame);
  }, [shown, ready, count]);
  return shown ? count : ready;
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
