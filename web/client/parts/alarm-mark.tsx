import type { Priority } from '../../../agent/flow/alarm-key.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { alarmWords, isNew, priorityWords, stateWords } from '../logic/alarm-words.js';

/** Each priority has an outline of its own, so that it is known without its colour. On a field of 20 by 20. */
const OUTLINES: Readonly<Record<Priority, string>> = {
  urgent: 'M10 1.5 19.2 18 H0.8 Z',
  high: 'M10 0.8 19.2 10 10 19.2 0.8 10 Z',
  medium: 'M2.5 2.5 H17.5 V17.5 H2.5 Z',
  low: 'M10 2 A8 8 0 1 1 9.99 2 Z',
};

/** The shape of a priority: filled while nobody has acknowledged the alarm, an outline afterwards. */
export function PriorityShape({ priority, fresh }: { readonly priority: Priority; readonly fresh: boolean }) {
  return (
    <svg class={`shape priority-${priority} ${fresh ? 'fresh' : 'seen'}`} viewBox="0 0 20 20" aria-hidden="true">
      <path d={OUTLINES[priority]} />
    </svg>
  );
}

/** The same shape as a part of a drawing. */
export function PriorityOutline({
  priority,
  x,
  y,
  size,
}: {
  readonly priority: Priority;
  readonly x: number;
  readonly y: number;
  readonly size: number;
}) {
  return (
    <svg class={`shape priority-${priority} fresh`} viewBox="0 0 20 20" x={x} y={y} width={size} height={size}>
      <path d={OUTLINES[priority]} />
    </svg>
  );
}

/** An alarm in one line: shape, colour and word. */
export function AlarmLine({ alarm }: { readonly alarm: StandingEntry }) {
  const fresh = isNew(alarm.state);
  const over = alarm.state === 'returned-unacknowledged';
  return (
    <span class={`alarm-line priority-${alarm.priority} ${fresh ? 'fresh' : 'seen'} ${over ? 'over' : ''}`}>
      <PriorityShape priority={alarm.priority} fresh={fresh} />
      <span class="unseen">{priorityWords(alarm.priority)}: </span>
      <span class="alarm-words">
        {over ? 'Over: ' : ''}
        {alarmWords(alarm.alarm)}
        {alarm.side === undefined ? '' : `, ${alarm.side}`}
      </span>
      <span class="unseen"> ({stateWords(alarm.state)})</span>
    </span>
  );
}
