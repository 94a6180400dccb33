import type { AlarmKey, AlarmState, Priority } from '../../../../agent/flow/alarm-key.js';
import type { AlarmTransition } from '../../../../web/server/logic/alarm-calls.js';

/** What an alarm can be told, and its state after it. A row a state: IEC 62682, without what is set aside while it is set aside. */
const NEXT: Readonly<Record<AlarmState, Partial<Record<AlarmTransition['change'], AlarmState>>>> = {
  normal: { raised: 'unacknowledged', 'out-of-service': 'out-of-service' },
  unacknowledged: {
    cleared: 'returned-unacknowledged',
    acknowledged: 'acknowledged',
    shelved: 'shelved',
    'out-of-service': 'out-of-service',
  },
  acknowledged: { cleared: 'normal', shelved: 'shelved', suppressed: 'suppressed-by-design' },
  'returned-unacknowledged': { raised: 'unacknowledged', acknowledged: 'normal' },
  shelved: { raised: 'shelved', cleared: 'shelved', unshelved: 'unacknowledged' },
  'suppressed-by-design': { raised: 'suppressed-by-design', cleared: 'suppressed-by-design', unsuppressed: 'unacknowledged' },
  'out-of-service': { raised: 'out-of-service', cleared: 'out-of-service', 'in-service': 'normal' },
};

/** The alarms of a plant, told in the order in which things happen. */
export class Happenings {
  readonly transitions: AlarmTransition[] = [];
  private readonly states = new Map<string, AlarmState>();

  /** @param startMs - from which the minutes count */
  constructor(private readonly startMs: number) {}

  /** @returns whether it can happen as the alarm is; where it cannot, nothing is told */
  tell(seconds: number, takeup: string, change: AlarmTransition['change'], more: { alarm?: AlarmKey; priority?: Priority } = {}): boolean {
    const { alarm = 'stroke-low', priority = 'medium' } = more;
    const id = `${takeup} ${alarm}`;
    const from = this.states.get(id) ?? 'normal';
    const to = NEXT[from][change];
    if (to === undefined) return false;
    this.states.set(id, to);
    const timeMs = this.startMs + seconds * 1000;
    this.transitions.push({ ...{ timeMs, conveyor: 'line1', takeup, alarm, priority, change }, from, to });
    return true;
  }
}
