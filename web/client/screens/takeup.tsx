import { useEffect, useState } from 'preact/hooks';
import type { AlarmsAnswer } from '../../server/logic/answers.js';
import { callsForSomeone } from '../logic/alarm-words.js';
import { compareAlarms } from '../logic/floor-order.js';
import { takeupKey } from '../logic/takeup-key.js';
import { takeupSentence } from '../logic/takeup-sentence.js';
import { AlarmCard } from '../parts/alarm-card.js';
import { AsideHere } from '../parts/alarms-aside.js';
import { SetAnyAside } from '../parts/set-any-aside.js';
import { RecentAlarms } from '../parts/recent-alarms.js';
import { Ruler } from '../parts/ruler.js';
import { Springs } from '../parts/springs.js';
import { useKeptFocus } from '../parts/use-kept-focus.js';
import { WholeDates } from '../parts/whole-dates.js';
import { ask } from '../state/api.js';
import { useHappenings } from '../state/happenings.js';
import { usePaging } from '../state/alarm-paging.js';
import { NOT_HEARD_OF_IT_WORDS, noneWords, standing, takeupNow, trouble } from '../state/live.js';
import { findPlace, type Place } from '../state/places.js';
import { units } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';
import { CarriageSays } from './carriage-says.js';
import { ElongationHistory } from './elongation-history.js';
import { ServiceLog } from './service-log.js';
import { TakeupFigures } from './takeup-figures.js';
import { TakeupHistory } from './takeup-history.js';

/** One take-up, near: the large ruler, what is normal and what is not, the numbers, how it came to this. */
export function TakeupScreen({ conveyor, takeup }: { readonly conveyor: string; readonly takeup: string }) {
  const place = findPlace(conveyor, takeup);
  if (place === undefined) {
    return (
      <section class="page">
        <h1>There is no such take-up</h1>
        <p>
          The site file has no take-up “{takeup}” on a conveyor “{conveyor}”. Go to the <a href="#/">floor</a>.
        </p>
      </section>
    );
  }
  return <Known place={place} />;
}

function Known({ place: { conveyor, takeup } }: { readonly place: Place }) {
  const now = takeupNow(conveyor.id, takeup.id).value;
  const key = takeupKey(conveyor.id, takeup.id);
  const alarms = standing.value.filter((alarm) => alarm.conveyor === conveyor.id && alarm.takeup === takeup.id).toSorted(compareAlarms);
  return (
    <article class={`page takeup ${trouble.value === undefined ? '' : 'stale'}`}>
      <header class="page-head">
        <h1>
          {conveyor.name} <b class="whole">{takeup.id}</b>
        </h1>
        <p class="where">{takeup.location}</p>
      </header>
      <p class="sentence">
        <WholeDates text={now === undefined ? 'Nothing has been heard of it yet.' : takeupSentence(now, alarms, units.value)} />
      </p>
      <section class="drawing" aria-label="Stroke and springs, to scale">
        <Ruler takeup={takeup} now={now} alarms={alarms} size="large" />
        <Springs takeup={takeup} now={now} alarms={alarms} size="large" />
      </section>
      <Alarms conveyor={conveyor.id} takeup={takeup.id} alarms={alarms} heard={now !== undefined} />
      <CarriageSays key={`says ${key}`} conveyor={conveyor} takeup={takeup} />
      {now === undefined ? null : <TakeupFigures conveyor={conveyor} takeup={takeup} now={now} />}
      <Pasts key={`past ${key}`} conveyor={conveyor} takeup={takeup} />
      <ServiceLog key={`log ${key}`} conveyor={conveyor} takeup={takeup} />
    </article>
  );
}

/** How it came to this: both charts share what happened. */
function Pasts({ conveyor, takeup }: Place) {
  const marks = useHappenings({ conveyor, takeup });
  return (
    <>
      <ElongationHistory conveyor={conveyor} takeup={takeup} marks={marks} />
      <TakeupHistory conveyor={conveyor} takeup={takeup} marks={marks} />
    </>
  );
}

interface AlarmsProps {
  readonly conveyor: string;
  readonly takeup: string;
  readonly alarms: ReturnType<typeof standing.peek>;
  readonly heard: boolean;
}

function Alarms({ conveyor, takeup, alarms, heard }: AlarmsProps) {
  const shown = alarms.filter(({ state }) => callsForSomeone(state));
  // What changed among the standing alarms is in the list of recent ones too.
  const [asked, setAsked] = useState(0);
  const marks = alarms.map(({ id, state }) => `${id} ${state}`).join();
  useEffect(() => setAsked((times) => times + 1), [marks]);
  const section = useKeptFocus<HTMLElement>();
  usePaging(`?conveyor=${encodeURIComponent(conveyor)}&takeup=${encodeURIComponent(takeup)}`, marks);
  const path = `/api/alarms?conveyor=${encodeURIComponent(conveyor)}&takeup=${encodeURIComponent(takeup)}&limit=20`;
  const recent = useAnswer(() => ask<AlarmsAnswer>('GET', path), [path, asked]);
  return (
    <section ref={section} class="alarms-here" aria-label="Alarms">
      <h2>Alarms</h2>
      {shown.length === 0 ? <p class="quiet-words">{heard ? noneWords.value : NOT_HEARD_OF_IT_WORDS}</p> : null}
      <ul class="alarm-cards">
        {shown.map((alarm) => (
          <AlarmCard key={alarm.id} alarm={alarm} withPlace={false} />
        ))}
      </ul>
      <AsideHere alarms={alarms} />
      <SetAnyAside place={{ conveyor, takeup }} />
      <details class="recent">
        <summary>Recent changes</summary>
        <RecentAlarms answer={recent} withPlace={false} />
      </details>
    </section>
  );
}
