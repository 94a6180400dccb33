import { computed } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { localTime } from '../../../agent/units/local-time.js';
import { callsForSomeone, isNew } from '../logic/alarm-words.js';
import { compareAlarms } from '../logic/floor-order.js';
import { connection, link, nowMs, standing, trouble } from '../state/live.js';
import { route } from '../state/route.js';
import { may, site } from '../state/session.js';
import { PriorityShape } from './alarm-mark.js';
import { Menu } from './menu.js';

const standingNow = computed(() => standing.value.filter(({ state }) => callsForSomeone(state)).toSorted(compareAlarms));

const WORK_SCREENS: ReadonlySet<string> = new Set(['work', 'service-log', 'plan', 'card', 'report']);

/** Where one is, what stands, whether it is live, what time it is at the plant. */
export function Header() {
  return (
    <header class="header">
      <a class="site" href="#/">
        <img src="/icon.svg" alt="" width="28" height="28" />
        <span title={site.value?.name}>{site.value?.name}</span>
      </a>
      <nav aria-label="Screens">
        <a href="#/" aria-current={route.value.screen === 'floor' ? 'page' : undefined}>
          Floor
        </a>
        <AlarmsLink />
        <a href="#/work" aria-current={WORK_SCREENS.has(route.value.screen) ? 'page' : undefined}>
          Work
        </a>
        {may('use-bench') ? (
          <a href="#/bench" aria-current={route.value.screen === 'bench' ? 'page' : undefined}>
            Bench
          </a>
        ) : null}
        <a href="#/set-up" aria-current={route.value.screen === 'set-up' ? 'page' : undefined}>
          Set-up
        </a>
      </nav>
      <LiveState />
      <SiteClock />
      <Menu />
    </header>
  );
}

function AlarmsLink() {
  const [worst] = standingNow.value;
  const count = standingNow.value.length;
  useEffect(() => {
    document.title = `${count === 0 ? '' : `(${count}) `}Takeline, ${site.value?.name ?? ''}`;
  }, [count]);
  return (
    <a href="#/alarms" aria-current={route.value.screen.startsWith('alarms') ? 'page' : undefined}>
      Alarms
      {worst === undefined ? null : (
        <span class="count">
          <PriorityShape priority={worst.priority} fresh={isNew(worst.state)} />
          {count}
          <span class="unseen"> standing</span>
        </span>
      )}
    </a>
  );
}

function LiveState() {
  const words = liveWords();
  return (
    <span class={`live-state ${words.toLowerCase()}`}>
      <svg viewBox="0 0 12 12" aria-hidden="true">
        {words === 'Live' ? <circle cx="6" cy="6" r="4" /> : <path d="M2 2 10 10 M10 2 2 10" />}
      </svg>
      {words}
    </span>
  );
}

function liveWords(): 'Live' | 'Stale' | 'Waiting' {
  if (trouble.value !== undefined) return 'Stale';
  return connection.value.state === 'live' && link.value?.agent.state === 'heard' ? 'Live' : 'Waiting';
}

function SiteClock() {
  const { minutes } = localTime(nowMs.value, site.value?.timezone ?? 'UTC');
  return <time class="clock">{minutes}</time>;
}
