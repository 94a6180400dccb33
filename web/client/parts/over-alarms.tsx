import type { StandingEntry } from '../../server/logic/live-messages.js';
import { AcknowledgeAll } from './acknowledge-all.js';
import { AlarmCard } from './alarm-card.js';

/** Alarms that are over and wait to be acknowledged, one by one or, after a night or a network that failed, all of them. */
export function OverAlarms({ alarms }: { readonly alarms: readonly StandingEntry[] }) {
  if (alarms.length === 0) return null;
  return (
    <section aria-label="Over, to acknowledge">
      <div class="section-head">
        <h2>
          Over, to acknowledge <span class="of">{alarms.length}</span>
        </h2>
        <AcknowledgeAll alarms={alarms} />
      </div>
      <ul class="alarm-cards">
        {alarms.map((alarm) => (
          <AlarmCard key={alarm.id} alarm={alarm} withPlace />
        ))}
      </ul>
    </section>
  );
}
