import { useState } from 'preact/hooks';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { acknowledgeAlarm } from '../state/acknowledge.js';
import { may, wordsOf } from '../state/session.js';
import { AlarmCard } from './alarm-card.js';

/** Alarms that are over and wait to be acknowledged, one by one or, after a night or a network that failed, all of them. */
export function OverAlarms({ alarms }: { readonly alarms: readonly StandingEntry[] }) {
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState('');
  if (alarms.length === 0) return null;
  const acknowledgeAll = async (): Promise<void> => {
    setBusy(true);
    setProblem('');
    try {
      for (const alarm of alarms) await acknowledgeAlarm(alarm);
    } catch (error) {
      setProblem(wordsOf(error));
    }
    setBusy(false);
  };
  return (
    <section>
      <div class="section-head">
        <h2>
          Over, to acknowledge <span class="of">{alarms.length}</span>
        </h2>
        {alarms.length > 1 && may('acknowledge-alarm') ? (
          <button type="button" disabled={busy} onClick={() => void acknowledgeAll()}>
            Acknowledge all {alarms.length}
          </button>
        ) : null}
      </div>
      <p class="problem" role="alert">
        {problem}
      </p>
      <ul class="alarm-cards">
        {alarms.map((alarm) => (
          <AlarmCard key={alarm.id} alarm={alarm} withPlace />
        ))}
      </ul>
    </section>
  );
}
