import { signal } from '@preact/signals';
import { useState } from 'preact/hooks';
import type { Priority } from '../../../agent/flow/alarm-key.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { findAlarms, groupByConveyor, shownOf, type AlarmGroup } from '../logic/alarm-groups.js';
import { alarmWords, callsForSomeone, isUp, PRIORITY_CHOICES, priorityWords } from '../logic/alarm-words.js';
import { compareAlarms } from '../logic/floor-order.js';
import { AcknowledgeAll } from '../parts/acknowledge-all.js';
import { AlarmCard } from '../parts/alarm-card.js';
import { AlarmChanges } from '../parts/alarm-changes.js';
import { AlarmsHead } from '../parts/alarms-head.js';
import { OutOfServiceAlarms, ShelvedAlarms, SuppressedAlarms } from '../parts/alarms-aside.js';
import { OverAlarms } from '../parts/over-alarms.js';
import { useKeptFocus } from '../parts/use-kept-focus.js';
import { SetAnyAside } from '../parts/set-any-aside.js';
import { usePaging } from '../state/alarm-paging.js';
import { NOT_HEARD_WORDS, noneWords, nothingHeard, standing, trouble } from '../state/live.js';
import { findPlace, placeWords } from '../state/places.js';
import { site } from '../state/session.js';

const query = signal('');
const priority = signal<Priority | 'all'>('all');
/** Undefined until somebody chooses. */
const byConveyor = signal<boolean | undefined>(undefined);

/** More than these are no list any more: they are grouped until somebody says otherwise. */
const MANY = 12;

/** What stands and what to do about it, what is set aside, and what has changed. */
export function AlarmsScreen() {
  const all = standing.value.toSorted(compareAlarms);
  const found = findAlarms(all, query.value, priority.value, wordsBy);
  const marks = all.map(({ id, state }) => `${id} ${state}`).join();
  const page = useKeptFocus<HTMLDivElement>();
  usePaging('', marks);
  const over = found.filter(({ state }) => callsForSomeone(state) && !isUp(state));
  // Not narrowed with what stands: "nothing is shelved" is said only where that is so.
  const of = (state: StandingEntry['state']) => all.filter((alarm) => alarm.state === state);
  return (
    <div ref={page} class={`page alarms ${trouble.value === undefined ? '' : 'stale'}`}>
      <AlarmsHead page="standing" />
      <Standing all={all.filter(({ state }) => isUp(state))} found={found.filter(({ state }) => isUp(state))} />
      <OverAlarms alarms={over} />
      <SetAnyAside />
      <div class="aside-sections">
        <ShelvedAlarms alarms={of('shelved')} />
        <SuppressedAlarms alarms={of('suppressed-by-design')} />
        <OutOfServiceAlarms alarms={of('out-of-service')} />
      </div>
      <AlarmChanges marks={marks} />
    </div>
  );
}

/** All by which a person may look for an alarm. */
function wordsBy(alarm: StandingEntry): readonly string[] {
  const place = findPlace(alarm.conveyor ?? '', alarm.takeup ?? '');
  return [alarmWords(alarm.alarm), placeWords(alarm), place?.takeup.location ?? '', alarm.signal ?? ''];
}

function Standing({ all, found }: { readonly all: readonly StandingEntry[]; readonly found: readonly StandingEntry[] }) {
  const [whole, setWhole] = useState<ReadonlySet<string>>(new Set());
  const grouped = byConveyor.value ?? all.length > MANY;
  const groups = grouped ? groupByConveyor(found) : [{ conveyor: undefined, alarms: found }];
  const shown = groups.map((group) => ({ group, alarms: shownOf(group, !grouped || whole.has(keyOf(group))) }));
  return (
    <section aria-label="Standing">
      <div class="section-head">
        <h2>
          Standing <span class="of">{standingCount(all, found)}</span>
        </h2>
        <AcknowledgeAll alarms={shown.flatMap(({ alarms }) => alarms)} />
      </div>
      {all.length > 1 || query.value !== '' || priority.value !== 'all' ? <Tools grouped={grouped} /> : null}
      {all.length === 0 ? <p class="quiet-words">{nothingHeard.value ? NOT_HEARD_WORDS : noneWords.value}</p> : null}
      {all.length > 0 && found.length === 0 ? <p class="quiet-words">None is like that.</p> : null}
      {shown.map(({ group, alarms }) => (
        <Group
          key={keyOf(group)}
          group={group}
          shown={alarms}
          headed={grouped}
          onWhole={() => setWhole(new Set([...whole, keyOf(group)]))}
        />
      ))}
    </section>
  );
}

/** No figure where none is known: a 0 would say that all is well. */
function standingCount(all: readonly StandingEntry[], found: readonly StandingEntry[]): string {
  if (all.length === 0 && nothingHeard.value) return '';
  return found.length === all.length ? String(all.length) : `${found.length} of ${all.length}`;
}

function keyOf({ conveyor }: AlarmGroup): string {
  return conveyor ?? '';
}

function Tools({ grouped }: { readonly grouped: boolean }) {
  return (
    <div class="alarm-tools">
      <label class="search">
        <span class="unseen">Search alarms by name, conveyor, take-up or location</span>
        <input
          type="search"
          placeholder="Search"
          value={query.value}
          onInput={({ currentTarget }) => (query.value = currentTarget.value)}
        />
      </label>
      <label>
        <span class="unseen">Priority</span>
        <select value={priority.value} onChange={({ currentTarget }) => (priority.value = currentTarget.value as Priority | 'all')}>
          <option value="all">Every priority</option>
          {PRIORITY_CHOICES.map((one) => (
            <option key={one} value={one}>
              {priorityWords(one)}
            </option>
          ))}
        </select>
      </label>
      <label class="group-choice">
        <input type="checkbox" checked={grouped} onChange={({ currentTarget }) => (byConveyor.value = currentTarget.checked)} />
        By conveyor
      </label>
    </div>
  );
}

interface GroupProps {
  readonly group: AlarmGroup;
  readonly shown: readonly StandingEntry[];
  readonly headed: boolean;
  readonly onWhole: () => void;
}

function Group({ group, shown, headed, onWhole }: GroupProps) {
  const hidden = group.alarms.length - shown.length;
  const name = site.value?.conveyors.find(({ id }) => id === group.conveyor)?.name ?? group.conveyor ?? site.value?.name;
  return (
    <div class="alarm-group" {...(headed ? { role: 'group', 'aria-label': name } : {})}>
      {headed ? (
        <h3 class="group-name">
          {name} <span class="of">{countWords(group.alarms)}</span>
        </h3>
      ) : null}
      <ul class="alarm-cards">
        {shown.map((alarm) => (
          <AlarmCard key={alarm.id} alarm={alarm} withPlace heading={headed ? 'h4' : 'h3'} />
        ))}
      </ul>
      {hidden > 0 ? (
        <button type="button" class="small" aria-label={`Show the other ${hidden} of ${name ?? ''}`} onClick={onWhole}>
          Show the other {hidden}
        </button>
      ) : null}
    </div>
  );
}

/** How many of each priority: `2 urgent, 5 low`. */
function countWords(alarms: readonly StandingEntry[]): string {
  return PRIORITY_CHOICES.map((one) => ({ one, count: alarms.filter((alarm) => alarm.priority === one).length }))
    .filter(({ count }) => count > 0)
    .map(({ one, count }) => `${count} ${priorityWords(one).toLowerCase()}`)
    .join(', ');
}
