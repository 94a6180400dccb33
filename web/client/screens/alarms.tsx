import { useEffect, useState } from 'preact/hooks';
import type { AlarmsAnswer } from '../../server/logic/answers.js';
import { alarmWords, callsForSomeone, isUp, stateWords } from '../logic/alarm-words.js';
import { compareAlarms } from '../logic/floor-order.js';
import { AlarmCard } from '../parts/alarm-card.js';
import { OverAlarms } from '../parts/over-alarms.js';
import { RecentAlarms } from '../parts/recent-alarms.js';
import { ask } from '../state/api.js';
import { standing, trouble } from '../state/live.js';
import { placeWords } from '../state/places.js';
import { useAnswer } from '../state/use-answer.js';

/** What stands and what to do about it, what is set aside, and what changed lately. */
export function AlarmsScreen() {
  const all = standing.value.toSorted(compareAlarms);
  const up = all.filter(({ state }) => isUp(state));
  const over = all.filter(({ state }) => callsForSomeone(state) && !isUp(state));
  const aside = all.filter(({ state }) => !callsForSomeone(state));
  const [asked, setAsked] = useState(0);
  const marks = all.map(({ id, state }) => `${id} ${state}`).join();
  useEffect(() => setAsked((times) => times + 1), [marks]);
  const recent = useAnswer(() => ask<AlarmsAnswer>('GET', '/api/alarms?limit=100'), [asked]);
  return (
    <section class={`page alarms ${trouble.value === undefined ? '' : 'stale'}`}>
      <h1>Alarms</h1>
      <section>
        <h2>
          Standing <span class="of">{up.length}</span>
        </h2>
        {up.length === 0 ? <p class="quiet-words">None stands.</p> : null}
        <ul class="alarm-cards">
          {up.map((alarm) => (
            <AlarmCard key={alarm.id} alarm={alarm} withPlace />
          ))}
        </ul>
      </section>
      <OverAlarms alarms={over} />
      {aside.length === 0 ? null : (
        <section>
          <h2>
            Set aside <span class="of">{aside.length}</span>
          </h2>
          <ul class="aside">
            {aside.map((alarm) => (
              <li key={alarm.id}>
                {alarmWords(alarm.alarm)}, {placeWords(alarm)}: {stateWords(alarm.state)}
              </li>
            ))}
          </ul>
        </section>
      )}
      <section>
        <h2>Recent changes</h2>
        <RecentAlarms answer={recent} withPlace />
      </section>
    </section>
  );
}
