import { inUnits } from '../../../agent/units/in-units.js';
import { localTime } from '../../../agent/units/local-time.js';
import type { AlarmEventAnswer, AlarmsAnswer } from '../../server/logic/answers.js';
import { alarmTitle, priorityWords } from '../logic/alarm-words.js';
import { changeWords, whyWords } from '../logic/change-words.js';
import { placeWords } from '../state/places.js';
import { site, units } from '../state/session.js';
import type { Answer } from '../state/use-answer.js';
import { PriorityShape } from './alarm-mark.js';
import { NoAnswer } from './no-answer.js';
import { useNarrow } from './use-narrow.js';

interface RecentAlarmsProps {
  readonly answer: Answer<AlarmsAnswer>;
  readonly withPlace: boolean;
}

/** The latest changes of alarms, latest first. */
export function RecentAlarms({ answer, withPlace }: RecentAlarmsProps) {
  if (answer.state === 'loading') return <p class="quiet-words">Asking …</p>;
  if (answer.state === 'failed') return <NoAnswer failed={answer} what="recent changes" />;
  if (answer.value.recent.length === 0) return <p class="quiet-words">No alarm has ever changed here.</p>;
  return <ChangesTable events={answer.value.recent} withPlace={withPlace} />;
}

/** Changes of alarms as a table, in the order given; on a phone the place stands below the alarm, so that all fits beside one another. */
export function ChangesTable({ events, withPlace }: { readonly events: readonly AlarmEventAnswer[]; readonly withPlace: boolean }) {
  const narrow = useNarrow();
  const place = withPlace ? (narrow ? 'below' : 'beside') : 'none';
  return (
    <div class="table-frame" tabIndex={0} role="region" aria-label="Recent alarm changes">
      <table class="recent-alarms">
        <thead>
          <tr>
            <th scope="col">Time</th>
            <th scope="col">Alarm</th>
            {place === 'beside' ? <th scope="col">Where</th> : null}
            <th scope="col">Change</th>
            <th scope="col" class="number-cell">
              Value
            </th>
          </tr>
        </thead>
        <tbody>
          {events.map((event) => (
            <Row key={event.id} event={event} place={place} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

interface RowProps {
  readonly event: AlarmEventAnswer;
  readonly place: 'none' | 'beside' | 'below';
}

function Row({ event, place }: RowProps) {
  const { date, seconds } = localTime(event.timeMs, site.value?.timezone ?? 'UTC');
  return (
    <tr>
      <td class="time">
        <span>{date}</span> <span>{seconds}</span>
      </td>
      <td>
        <span class={`alarm-line seen priority-${event.priority}`}>
          <PriorityShape priority={event.priority} fresh={false} />
          <span class="unseen">{priorityWords(event.priority)}: </span>
          {alarmTitle(event)}
        </span>
        {place === 'below' ? <span class="where">{placeWords(event)}</span> : null}
      </td>
      {place === 'beside' ? <td>{placeWords(event)}</td> : null}
      <td>
        {changeWords(event.change)}
        {event.by === undefined ? '' : ` by ${event.by}`}
        {event.why === undefined ? '' : `: ${whyWords(event.why)}`}
      </td>
      <td class="number-cell">{event.value === null ? '' : inUnits(event.value, event.unit, units.value)}</td>
    </tr>
  );
}
