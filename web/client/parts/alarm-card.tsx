import { useComputed } from '@preact/signals';
import { useRef, useState } from 'preact/hooks';
import { localTime } from '../../../agent/units/local-time.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { ageWords } from '../logic/age.js';
import { valueAndLimit } from '../logic/alarm-figures.js';
import { alarmTitle, isNew, isUp, priorityWords, stateWords } from '../logic/alarm-words.js';
import { respondWords } from '../logic/aside-words.js';
import { takeupHref } from '../logic/route.js';
import { acknowledgeAlarm } from '../state/alarm-actions.js';
import { nowMs } from '../state/live.js';
import { placeWords } from '../state/places.js';
import { say } from '../state/said.js';
import { may, site, units } from '../state/session.js';
import { useDoing } from '../state/use-doing.js';
import { PriorityShape } from './alarm-mark.js';
import { AlarmPagingDetail } from './alarm-paging.js';
import { SetAside, type AsideKind } from './alarm-set-aside.js';

interface AlarmCardProps {
  readonly alarm: StandingEntry;
  readonly withPlace: boolean;
  /** One below the heading that it stands under. */
  readonly heading?: 'h3' | 'h4';
}

/** An alarm with all that is to be known of it: where, what is seen, what follows, what to do, and what can be done with it here. */
export function AlarmCard({ alarm, withPlace, heading: Heading = 'h3' }: AlarmCardProps) {
  const [aside, setAside] = useState<AsideKind | undefined>();
  const card = useRef<HTMLLIElement>(null);
  // Whoever leaves the form is back at the button that opened it.
  const leave = (): void => {
    card.current?.querySelector<HTMLElement>('[aria-expanded=true]')?.focus();
    setAside(undefined);
  };
  return (
    <li
      ref={card}
      class={`alarm-card priority-${alarm.priority} ${alarm.state === 'unacknowledged' ? 'fresh' : 'seen'}`}
      aria-label={nameOf(alarm)}
    >
      <PriorityShape priority={alarm.priority} fresh={isNew(alarm.state)} />
      <div class="alarm-what">
        <Heading>
          {alarmTitle(alarm)} <span class="priority-word">{priorityWords(alarm.priority)}</span>
        </Heading>
        {withPlace ? <PlaceLink alarm={alarm} /> : null}
        <p class="alarm-figures">
          {hasFigures(alarm) ? `${valueAndLimit(alarm, units.value)} ` : ''}
          <Since alarm={alarm} />
        </p>
      </div>
      <div class="alarm-why">
        <Why alarm={alarm} />
        <AlarmPagingDetail alarm={alarm} />
      </div>
      <div class="state">
        <p class="state-words">{stateWords(alarm.state)}</p>
        <Acknowledge alarm={alarm} />
        <AsideButtons alarm={alarm} open={aside} onOpen={setAside} />
      </div>
      {aside === undefined ? null : <SetAside kind={aside} alarm={alarm} onClose={leave} />}
    </li>
  );
}

/** What an alarm is called where it is told apart from all others: what it is, and where. */
function nameOf(alarm: StandingEntry): string {
  return `${alarmTitle(alarm)}, ${placeWords(alarm)}`;
}

/** A value is told while it is beyond its limit; an agent that said goodbye was silent for no time at all. */
function hasFigures({ state, alarm, value }: StandingEntry): boolean {
  return isUp(state) && (alarm !== 'agent-silent' || value !== 0);
}

/** What is seen, what follows, what to do and how soon; what is over only waits to be acknowledged. */
function Why({ alarm }: { readonly alarm: StandingEntry }) {
  if (!isUp(alarm.state)) return <p>It is over, and waits for somebody to say that they have seen it.</p>;
  const text = site.value?.alarms.find((one) => one.alarm === alarm.alarm);
  if (text === undefined) return null;
  return (
    <>
      {alarm.active === false ? <p>The cause is gone; it stays until somebody acknowledges it.</p> : null}
      <p>
        {text.seen} {text.consequence}
      </p>
      <p class="action">{text.action}</p>
      <p class="note">Time to respond: {respondWords(text.respondWithinMin)}.</p>
    </>
  );
}

/** Where an alarm is, as a way to its take-up. */
export function PlaceLink({ alarm }: { readonly alarm: Pick<StandingEntry, 'conveyor' | 'takeup' | 'signal'> }) {
  const { conveyor, takeup } = alarm;
  const words = placeWords(alarm);
  return <p class="place">{conveyor === undefined || takeup === undefined ? words : <a href={takeupHref(conveyor, takeup)}>{words}</a>}</p>;
}

function Since({ alarm }: { readonly alarm: StandingEntry }) {
  const sinceMs = Date.parse(alarm.since);
  const { date, minutes } = localTime(sinceMs, site.value?.timezone ?? 'UTC');
  return (
    <span class="since">
      since{' '}
      <span class="whole">
        {date} {minutes},
      </span>{' '}
      <span class="whole">
        <Age sinceMs={sinceMs} />
      </span>
    </span>
  );
}

/** Drawn anew when its words change and not with every second: there may be hundreds. */
function Age({ sinceMs }: { readonly sinceMs: number }) {
  const words = useComputed(() => ageWords(nowMs.value - sinceMs));
  return <>{words.value}</>;
}

function Acknowledge({ alarm }: { readonly alarm: StandingEntry }) {
  const { busy, problem, run } = useDoing();
  if (!isNew(alarm.state) || !may('acknowledge-alarm')) return null;
  const acknowledge = async (): Promise<void> => {
    if (await run(() => acknowledgeAlarm(alarm))) say(`Acknowledged: ${nameOf(alarm)}.`);
  };
  return (
    <>
      {/* Not disabled while it is done: whoever stands on it with the keyboard would lose the place. */}
      <button type="button" aria-disabled={busy} aria-label={`Acknowledge ${nameOf(alarm)}`} onClick={() => void acknowledge()}>
        Acknowledge
      </button>
      <p class="problem" role="alert">
        {problem}
      </p>
    </>
  );
}

interface AsideButtonsProps {
  readonly alarm: StandingEntry;
  readonly open: AsideKind | undefined;
  readonly onOpen: (kind: AsideKind | undefined) => void;
}

function AsideButtons({ alarm, open, onOpen }: AsideButtonsProps) {
  // The web server's own alarms, which have no place, say that nothing is watched: there is no setting them aside.
  if (!isUp(alarm.state) || alarm.conveyor === undefined) return null;
  const button = (kind: AsideKind, words: string, label: string) => (
    <button
      type="button"
      class="small"
      aria-expanded={open === kind}
      aria-label={`${label} ${nameOf(alarm)}`}
      onClick={() => onOpen(open === kind ? undefined : kind)}
    >
      {words}
    </button>
  );
  return (
    <div class="aside-buttons">
      {may('shelve-alarm') ? button('shelve', 'Shelve …', 'Shelve') : null}
      {may('take-alarm-out-of-service') ? button('out-of-service', 'Out of service …', 'Out of service') : null}
    </div>
  );
}
