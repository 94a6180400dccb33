import { useEffect, useState } from 'preact/hooks';
import { localTime } from '../../../agent/units/local-time.js';
import { wallPage, wallPages, wallShift } from '../logic/wall-pages.js';
import { listed } from '../state/floor-list.js';
import { nowMs, trouble } from '../state/live.js';
import { site } from '../state/session.js';
import { keepAwake } from '../state/wake-lock.js';
import { RowList, SiteAlarms, roomFor, summary } from './floor.js';

/** Height of a row with the gap below it, and of what stands above the rows; px. */
const ROW_PX = 74;
const HEAD_PX = 108;

/** The floor for a wall: no controls, page after page by itself where not all fits, never quite still. Escape leaves. */
export function WallScreen() {
  const fits = useFits();
  const room = roomFor(listed.value.length);
  const pages = room === 'row' ? wallPages(listed.value, fits) : [listed.value];
  const page = wallPage(pages.length, nowMs.value);
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
      <header class="wall-head">
        <h1>
          {site.value?.name}: {summary(listed.value.length)}
        </h1>
        <SiteAlarms />
        {pages.length > 1 ? (
          <span class="wall-page">
            {page + 1} of {pages.length}
          </span>
        ) : null}
        <time class="clock">{`${date} ${minutes}`}</time>
      </header>
      <RowList rows={pages[page] ?? []} room={room} />
    </section>
  );
}

/** How many rows fit on this screen. */
function useFits(): number {
  const fitting = (): number => Math.floor((innerHeight - HEAD_PX) / ROW_PX);
  const [fits, setFits] = useState(fitting);
  useEffect(() => {
    const resized = (): void => setFits(fitting());
    addEventListener('resize', resized);
    return () => removeEventListener('resize', resized);
  }, []);
  return fits;
}
