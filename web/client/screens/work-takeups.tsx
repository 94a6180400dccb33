import { useState } from 'preact/hooks';
import { localTime } from '../../../agent/units/local-time.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { callsForSomeone } from '../logic/alarm-words.js';
import { compareAlarms, compareNeed } from '../logic/floor-order.js';
import { takeupHref } from '../logic/route.js';
import { takeupKey } from '../logic/takeup-key.js';
import { DUE_WITHIN_DAYS, dueWords, dueWork, type DueWork } from '../logic/work-needs.js';
import { planHref } from '../logic/work-route.js';
import { AlarmLine } from '../parts/alarm-mark.js';
import { WholeDates } from '../parts/whole-dates.js';
import { NOT_HEARD_WORDS, nothingHeard, nowMs, standing, takeupNow } from '../state/live.js';
import { allPlaces, type Place } from '../state/places.js';
import { site } from '../state/session.js';

interface Need extends Place {
  readonly key: string;
  readonly alarms: readonly StandingEntry[];
  readonly due: readonly DueWork[];
  readonly early: string | undefined;
  /** Something has come from it: without, that it needs nothing is not known. */
  readonly heard: boolean;
}

/** More than these are shown when they are asked for: below them stands what else there is to do. */
const FIRST = 20;

/** Every take-up, the ones that need work first: standing alarms, then the earliest date that calls for work. */
export function WorkTakeups() {
  const [whole, setWhole] = useState(false);
  const today = localTime(nowMs.value, site.value?.timezone ?? 'UTC').date;
  const needs = allPlaces()
    .map((place) => needOf(place, today))
    .toSorted(compareNeed);
  const pressing = needs.filter(({ alarms, due }) => alarms.length > 0 || due.length > 0);
  const shown = whole || pressing.length <= FIRST + 1 ? pressing : pressing.slice(0, FIRST);
  const left = pressing.length - shown.length;
  const others = needs.filter((need) => !pressing.includes(need));
  return (
    <section class="work-takeups">
      <h2>Take-ups that need work first</h2>
      {pressing.length === 0 ? (
        <p class="quiet-words">
          {nothingHeard.value ? NOT_HEARD_WORDS : `None: no alarm stands, and no date lies within ${DUE_WITHIN_DAYS} days.`}
        </p>
      ) : null}
      <ul class="work-list">
        {shown.map((need) => (
          <TakeupWork key={need.key} need={need} />
        ))}
      </ul>
      {left === 0 ? null : (
        <button type="button" onClick={() => setWhole(true)}>
          Show the other {left} that need work
        </button>
      )}
      {others.length === 0 ? null : (
        <details>
          <summary>{othersWords(others)}</summary>
          <ul class="work-list">
            {others.map((need) => (
              <TakeupWork key={need.key} need={need} />
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

function needOf(place: Place, today: string): Need {
  const { conveyor, takeup } = place;
  const now = takeupNow(conveyor.id, takeup.id).value;
  const due = dueWork(now?.trend, today).filter(({ days }) => days <= DUE_WITHIN_DAYS);
  return {
    ...place,
    key: takeupKey(conveyor.id, takeup.id),
    alarms: standing.value
      .filter((alarm) => alarm.conveyor === conveyor.id && alarm.takeup === takeup.id && callsForSomeone(alarm.state))
      .toSorted(compareAlarms),
    due,
    early: due[0]?.early,
    heard: now !== undefined,
  };
}

function othersWords(others: readonly Need[]): string {
  const quiet = others.filter(({ heard }) => heard).length;
  const unheard = others.length - quiet;
  return [
    ...(quiet === 0 ? [] : [`${quiet} ${quiet === 1 ? 'take-up needs' : 'take-ups need'} nothing now`]),
    ...(unheard === 0 ? [] : [`${unheard} not heard yet`]),
  ].join(', ');
}

function TakeupWork({ need: { conveyor, takeup, alarms, due, heard } }: { readonly need: Need }) {
  const name = `${conveyor.name} ${takeup.id}`;
  return (
    <li class="work-item" aria-label={name}>
      <h3>
        <a href={takeupHref(conveyor.id, takeup.id)}>
          {conveyor.name} <b>{takeup.id}</b>
        </a>
        <span class="where">{takeup.location}</span>
      </h3>
      <div class="work-why">
        {alarms.map((alarm) => (
          <AlarmLine key={alarm.id} alarm={alarm} />
        ))}
        {due.map((one) => (
          <p key={one.what}>
            <b>{one.words}</b> <WholeDates text={dueWords(one)} />: {one.work}
          </p>
        ))}
        {alarms.length === 0 && due.length === 0 ? (
          <p class="quiet-words">{heard ? `No alarm, and no date within ${DUE_WITHIN_DAYS} days.` : 'Nothing has been heard of it yet.'}</p>
        ) : null}
      </div>
      <a class="button" href={planHref(conveyor.id, takeup.id)} aria-label={`Plan work on ${name}`}>
        Plan work
      </a>
    </li>
  );
}
