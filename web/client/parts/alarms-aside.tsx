import { useComputed } from '@preact/signals';
import { localTime } from '../../../agent/units/local-time.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { alarmTitle } from '../logic/alarm-words.js';
import { countdownWords, suppressedWords } from '../logic/aside-words.js';
import { putInService, unshelveAlarm } from '../state/alarm-actions.js';
import { NOT_HEARD_WORDS, nothingHeard, nowMs } from '../state/live.js';
import { placeWords } from '../state/places.js';
import { may, site } from '../state/session.js';
import { useDoing } from '../state/use-doing.js';
import { PlaceLink } from './alarm-card.js';

/** Set aside is not over. */
const STILL_THERE = '; its condition still holds';

/** What a person shelved: by whom, why, and when it comes back. */
export function ShelvedAlarms({ alarms }: { readonly alarms: readonly StandingEntry[] }) {
  return (
    <AsideSection title="Shelved" none="Nothing is shelved." alarms={alarms}>
      {(alarm) => (
        <>
          <p>
            By {alarm.shelved?.by ?? 'somebody'}: {alarm.shelved?.why ?? 'no reason is known'}
          </p>
          <p class="note">
            Comes back {alarm.shelved === undefined ? 'by itself' : <Until time={alarm.shelved.until} />}
            {alarm.active === true ? STILL_THERE : ''}
          </p>
          {may('shelve-alarm') ? <Back alarm={alarm} words="Return it now" action={() => unshelveAlarm(alarm)} /> : null}
        </>
      )}
    </AsideSection>
  );
}

/** What rests by design, and under what. */
export function SuppressedAlarms({ alarms }: { readonly alarms: readonly StandingEntry[] }) {
  return (
    <AsideSection title="Suppressed by design" none="Nothing is suppressed." alarms={alarms}>
      {(alarm) => (
        <p>
          It rests {suppressedWords(alarm.suppressedBy)}
          {alarm.active === true ? STILL_THERE : ''}.
        </p>
      )}
    </AsideSection>
  );
}

/** What a person took out of service, until somebody puts it back. */
export function OutOfServiceAlarms({ alarms }: { readonly alarms: readonly StandingEntry[] }) {
  return (
    <AsideSection title="Out of service" none="Everything is in service." alarms={alarms}>
      {(alarm) => (
        <>
          <p>
            By {alarm.outOfService?.by ?? 'somebody'}: {alarm.outOfService?.why ?? 'no reason is known'}
          </p>
          <p class="note">
            {alarm.outOfService === undefined ? '' : `Since ${timeWords(alarm.outOfService.since)}`}
            {alarm.active === true ? STILL_THERE : ''}
          </p>
          {may('take-alarm-out-of-service') ? <Back alarm={alarm} words="Put it back" action={() => putInService(alarm)} /> : null}
        </>
      )}
    </AsideSection>
  );
}

/** What is set aside at one take-up, each as its own state has it; nothing where nothing is. */
export function AsideHere({ alarms }: { readonly alarms: readonly StandingEntry[] }) {
  const of = (state: StandingEntry['state']) => alarms.filter((alarm) => alarm.state === state);
  const [shelved, suppressed, outOfService] = [of('shelved'), of('suppressed-by-design'), of('out-of-service')];
  if (shelved.length + suppressed.length + outOfService.length === 0) return null;
  return (
    <div class="aside-sections">
      {shelved.length === 0 ? null : <ShelvedAlarms alarms={shelved} />}
      {suppressed.length === 0 ? null : <SuppressedAlarms alarms={suppressed} />}
      {outOfService.length === 0 ? null : <OutOfServiceAlarms alarms={outOfService} />}
    </div>
  );
}

interface AsideSectionProps {
  readonly title: string;
  readonly none: string;
  readonly alarms: readonly StandingEntry[];
  readonly children: (alarm: StandingEntry) => preact.ComponentChildren;
}

function AsideSection({ title, none, alarms, children }: AsideSectionProps) {
  const known = alarms.length > 0 || !nothingHeard.value;
  return (
    <section class="aside-section" aria-label={title}>
      <h2>
        {title} <span class="of">{known ? alarms.length : ''}</span>
      </h2>
      {alarms.length === 0 ? <p class="quiet-words">{known ? none : NOT_HEARD_WORDS}</p> : null}
      <ul class="aside-list">
        {alarms.map((alarm) => (
          <li key={alarm.id} aria-label={`${alarmTitle(alarm)}, ${placeWords(alarm)}`}>
            <h3>{alarmTitle(alarm)}</h3>
            <PlaceLink alarm={alarm} />
            {children(alarm)}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Until({ time }: { readonly time: string }) {
  const untilMs = Date.parse(time);
  const left = useComputed(() => countdownWords(untilMs - nowMs.value));
  return (
    <>
      {left.value}, at {timeWords(time)}
    </>
  );
}

interface BackProps {
  readonly alarm: StandingEntry;
  readonly words: string;
  readonly action: () => Promise<void>;
}

function Back({ alarm, words, action }: BackProps) {
  const { busy, problem, run } = useDoing();
  return (
    <>
      <button
        type="button"
        class="small"
        aria-disabled={busy}
        aria-label={`${words}: ${alarmTitle(alarm)}, ${placeWords(alarm)}`}
        onClick={() => void run(action)}
      >
        {words}
      </button>
      <p class="problem" role="alert">
        {problem}
      </p>
    </>
  );
}

function timeWords(time: string): string {
  const { date, minutes } = localTime(Date.parse(time), site.value?.timezone ?? 'UTC');
  return `${date} ${minutes}`;
}
