import { computed, signal } from '@preact/signals';
import { isUp } from '../logic/alarm-words.js';
import { compareAlarms } from '../logic/floor-order.js';
import { largestThatFits, roomFor, type Room } from '../logic/floor-room.js';
import { matches } from '../logic/search.js';
import { AlarmLine } from '../parts/alarm-mark.js';
import { listed, type Listed } from '../state/floor-list.js';
import { heardCount, link, standing, trouble } from '../state/live.js';
import { placeWords } from '../state/places.js';
import { groupChoice } from '../state/preferences.js';
import { windowSize } from '../state/window-size.js';
import { FloorRow } from './floor-row.js';

const query = signal('');

/** As many as fit on a line of a wall. */
const MOST_SITE_ALARMS = 3;
/** From here on a row is one line, and the names of the columns stand above it; px, as the styles have it. */
const WIDE_PX = 1000;
/** Header, tools and names of the columns; px. */
const AROUND_ROWS_PX = 110;

const found = computed(() =>
  listed.value.filter(({ conveyor, takeup }) => matches(query.value, [conveyor.name, conveyor.id, takeup.id, takeup.location])),
);

/** Every take-up as a ruler, those that need someone first. */
export function FloorScreen() {
  const total = listed.value.length;
  if (total === 0) {
    return (
      <section class="page">
        <h1>The site has no take-ups</h1>
        <p>Name conveyors and their take-ups in the site file, and start Takeline anew.</p>
      </section>
    );
  }
  return (
    <section class="floor" data-room={roomOnFloor(total)}>
      <Tools total={total} />
      {found.value.length === 0 ? <p class="nothing">No take-up is known by “{query.value}”.</p> : <Rows />}
    </section>
  );
}

function Rows() {
  const room = roomOnFloor(listed.value.length);
  if (groupChoice.value === 'need')
    return (
      <>
        <h2 class="unseen">Take-ups</h2>
        <RowList rows={found.value} room={room} />
      </>
    );
  // In the order of their neediest take-up, which comes first in the list.
  const conveyors = [...new Set(found.value.map(({ conveyor }) => conveyor))];
  return (
    <>
      {conveyors.map((conveyor) => (
        <section key={conveyor.id} class="group">
          <h2>{conveyor.name}</h2>
          <RowList rows={found.value.filter((row) => row.conveyor === conveyor)} room={room} />
        </section>
      ))}
    </>
  );
}

function RowList({ rows, room }: { readonly rows: readonly Listed[]; readonly room: Room }) {
  return (
    <>
      {room === 'row' ? <Heads /> : null}
      <ul class="rows">
        {rows.map(({ key, conveyor, takeup, alarms }) => (
          <FloorRow key={key} conveyor={conveyor} takeup={takeup} alarms={alarms} size={room} still={false} />
        ))}
      </ul>
    </>
  );
}

/** The names of the columns, for a screen that is wide; each number has its own name for those who listen. */
export function Heads() {
  return (
    <div class="heads" aria-hidden="true">
      <span />
      <span />
      <span class="ends">
        <span>Inner stop</span>
        <span>Outer stop</span>
      </span>
      <span class="numbers">
        <span>To outer stop</span>
        <span>Stroke used up in</span>
        <span class="strand">Strand tension</span>
      </span>
      <span>Springs</span>
    </div>
  );
}

function Tools({ total }: { readonly total: number }) {
  return (
    <div class="tools">
      <h1>{summary(total)}</h1>
      <SiteAlarms />
      {total > 3 ? (
        <>
          <label class="search">
            <span class="unseen">Search by conveyor, take-up or location</span>
            <input
              type="search"
              placeholder="Search"
              value={query.value}
              onInput={({ currentTarget }) => (query.value = currentTarget.value)}
            />
          </label>
          <label class="group-choice">
            <input
              type="checkbox"
              checked={groupChoice.value === 'conveyor'}
              onChange={({ currentTarget }) => (groupChoice.value = currentTarget.checked ? 'conveyor' : 'need')}
            />
            By conveyor
          </label>
        </>
      ) : null}
    </div>
  );
}

/** How things stand, in one line; of what is stale, how they stood. */
export function summary(total: number): string {
  if (total === 0) return 'no take-ups';
  const needy = listed.value.filter(({ alarms }) => alarms.some(({ state }) => isUp(state))).length;
  const lastHeard = trouble.value === undefined ? '' : ', when last heard';
  if (needy > 0) return `${needy} of ${total} ${needy === 1 ? 'needs' : 'need'} someone${lastHeard}`;
  if (link.value?.agent.state !== 'heard' && lastHeard === '') return 'Waiting for the agent';
  if (heardCount.value === 0) return 'Nothing heard yet';
  const unheard = total - heardCount.value;
  return `Nothing stands${unheard > 0 ? `, ${unheard} not heard yet` : ''}${lastHeard}`;
}

/** Alarms that belong to no take-up (of a conveyor's signals, or of the agent), and how many are over and not acknowledged. */
export function SiteAlarms({ still = false }: { readonly still?: boolean }) {
  const up = standing.value.filter(({ takeup, state }) => takeup === undefined && isUp(state)).toSorted(compareAlarms);
  const over = standing.value.filter(({ state }) => state === 'returned-unacknowledged').length;
  const more = [
    ...(up.length > MOST_SITE_ALARMS ? [`and ${up.length - MOST_SITE_ALARMS} more`] : []),
    ...(over > 0 ? [`${over} over, to acknowledge`] : []),
  ];
  if (up.length === 0 && more.length === 0) return null;
  return (
    <ul class="site-alarms" aria-label="Other alarms">
      {up.slice(0, MOST_SITE_ALARMS).map((alarm) => (
        <li key={alarm.id}>
          <AlarmLine alarm={alarm} /> <span class="place">{placeWords(alarm)}</span>
        </li>
      ))}
      {more.map((words) => (
        <li key={words}>{still ? words : <a href="#/alarms">{words}</a>}</li>
      ))}
    </ul>
  );
}

/** On a wide screen no larger than lets all be seen at once, where that can be; a narrow one is scrolled anyway. */
function roomOnFloor(total: number): Room {
  const { widthPx, heightPx } = windowSize.value;
  return widthPx < WIDE_PX ? roomFor(total) : largestThatFits(total, heightPx - AROUND_ROWS_PX);
}
