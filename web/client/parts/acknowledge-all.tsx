import { useState } from 'preact/hooks';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { isNew } from '../logic/alarm-words.js';
import { acknowledgeAlarms } from '../state/alarm-actions.js';
import { say } from '../state/said.js';
import { may } from '../state/session.js';
import { useDoing } from '../state/use-doing.js';

/** Acknowledges all of the alarms given that wait for it: those that are on the screen, and no others. */
export function AcknowledgeAll({ alarms }: { readonly alarms: readonly StandingEntry[] }) {
  const { busy, problem, run } = useDoing();
  const [left, setLeft] = useState('');
  const waiting = alarms.filter(({ state }) => isNew(state));
  if (!may('acknowledge-alarm')) return null;
  const acknowledge = async (): Promise<void> => {
    setLeft('');
    const { acknowledged, refused } = await acknowledgeAlarms(waiting);
    say(`Acknowledged: ${acknowledged} of ${waiting.length}.`);
    const [first] = refused;
    if (first !== undefined) setLeft(`${refused.length} of ${waiting.length} are not acknowledged. ${first.why}`);
  };
  return (
    <div class="acknowledge-all">
      {waiting.length > 1 ? (
        <button type="button" aria-disabled={busy} onClick={() => void run(acknowledge)}>
          {busy ? 'Acknowledging …' : `Acknowledge the ${waiting.length} shown`}
        </button>
      ) : null}
      <p class="problem" role="alert">
        {problem || left}
      </p>
    </div>
  );
}
