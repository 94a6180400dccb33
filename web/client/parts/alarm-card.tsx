import { useState } from 'preact/hooks';
import { localTime } from '../../../agent/units/local-time.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { ageWords } from '../logic/age.js';
import { valueAndLimit } from '../logic/alarm-figures.js';
import { alarmWords, isNew, isUp, priorityWords, stateWords } from '../logic/alarm-words.js';
import { takeupHref } from '../logic/route.js';
import { acknowledgeAlarm } from '../state/acknowledge.js';
import { nowMs } from '../state/live.js';
import { placeWords } from '../state/places.js';
import { may, site, units, wordsOf } from '../state/session.js';
import { PriorityShape } from './alarm-mark.js';

interface AlarmCardProps {
  readonly alarm: StandingEntry;
  readonly withPlace: boolean;
}

/** An alarm with all that is to be known of it: where, what is seen, what follows, what to do, and the button. */
export function AlarmCard({ alarm, withPlace }: AlarmCardProps) {
  return (
    <li class={`alarm-card priority-${alarm.priority} ${alarm.state === 'unacknowledged' ? 'fresh' : 'seen'}`}>
      <PriorityShape priority={alarm.priority} fresh={isNew(alarm.state)} />
      <div class="alarm-what">
        <h3>
          {alarmWords(alarm.alarm)}
          {alarm.side === undefined ? '' : `, ${alarm.side}`} <span class="priority-word">{priorityWords(alarm.priority)}</span>
        </h3>
        {withPlace ? <PlaceLink alarm={alarm} /> : null}
        <p class="alarm-figures">
          {isUp(alarm.state) ? `${valueAndLimit(alarm, units.value)} ` : ''}
          <Since alarm={alarm} />
        </p>
      </div>
      <Why alarm={alarm} />
      <Acknowledge alarm={alarm} />
    </li>
  );
}

/** What is seen, what follows and what to do; what is over only waits to be acknowledged. */
function Why({ alarm }: { readonly alarm: StandingEntry }) {
  if (!isUp(alarm.state)) return <p class="alarm-why">It is over, and waits for somebody to say that they have seen it.</p>;
  const text = site.value?.alarms.find((one) => one.alarm === alarm.alarm);
  return (
    <div class="alarm-why">
      <p>
        {text?.seen} {text?.consequence}
      </p>
      <p class="action">{text?.action}</p>
    </div>
  );
}

function PlaceLink({ alarm }: { readonly alarm: StandingEntry }) {
  const { conveyor, takeup } = alarm;
  const words = placeWords(alarm);
  return <p class="place">{conveyor === undefined || takeup === undefined ? words : <a href={takeupHref(conveyor, takeup)}>{words}</a>}</p>;
}

function Since({ alarm }: { readonly alarm: StandingEntry }) {
  const sinceMs = Date.parse(alarm.since);
  const { date, minutes } = localTime(sinceMs, site.value?.timezone ?? 'UTC');
  return (
    <span class="since">
      since {date} {minutes}, {ageWords(nowMs.value - sinceMs)}
    </span>
  );
}

function Acknowledge({ alarm }: { readonly alarm: StandingEntry }) {
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState('');
  if (!isNew(alarm.state) || !may('acknowledge-alarm')) return <p class="state">{stateWords(alarm.state)}</p>;
  const acknowledge = async (): Promise<void> => {
    setBusy(true);
    setProblem('');
    try {
      await acknowledgeAlarm(alarm);
    } catch (error) {
      setProblem(wordsOf(error));
    }
    setBusy(false);
  };
  return (
    <div class="state">
      <p>{stateWords(alarm.state)}</p>
      <button
        type="button"
        disabled={busy}
        aria-label={`Acknowledge ${alarmWords(alarm.alarm)}, ${placeWords(alarm)}`}
        onClick={() => void acknowledge()}
      >
        Acknowledge
      </button>
      <p class="problem" role="alert">
        {problem}
      </p>
    </div>
  );
}
