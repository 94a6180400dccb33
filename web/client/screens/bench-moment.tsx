import type { BenchMoment, BenchResult } from '../../../agent/contract/bench.js';
import type { Figure } from '../../../agent/contract/messages.js';
import { showText, type DisplayKind } from '../../../agent/units/display.js';
import { alarmWords, isUp } from '../logic/alarm-words.js';
import { PriorityShape } from '../parts/alarm-mark.js';
import { NoAnswer } from '../parts/no-answer.js';
import { units } from '../state/session.js';
import type { Answer } from '../state/use-answer.js';

interface MomentProps {
  readonly answer: Answer<BenchMoment>;
  readonly place: BenchResult['takeups'][number];
}

/** What the screens of the plant would have shown at the instant. */
export function BenchMomentFigures({ answer, place }: MomentProps) {
  if (answer.state === 'failed') return <NoAnswer failed={answer} what="this instant" />;
  const now =
    answer.state === 'here'
      ? answer.value.takeups.find((one) => one.conveyor === place.conveyor && one.takeup === place.takeup)
      : undefined;
  if (now === undefined) return <p class="quiet-words">Looking …</p>;
  // Nobody acknowledges in a replay: what is over is over.
  const stood = now.alarms.filter(({ state }) => isUp(state));
  const running = now.running === null ? 'unknown' : now.running ? 'running' : 'standing';
  const rows: readonly (readonly [string, string])[] = [
    ['Conveyor', running],
    ['Position', words(now.positionMm, 'travel')],
    ['Remaining travel', words(now.remainingMm, 'travel')],
    ['Skew', words(now.skewMm, 'travel')],
    ['Springs, left and right', `${words(now.left.springMm, 'travel')}, ${words(now.right.springMm, 'travel')}`],
    ['Strand tension', words(now.strandTensionN, 'force')],
    ['Elongation', `${words(now.chain.elongationPct, 'elongation')}${now.chain.provisional ? ', provisional' : ''}`],
    ['Pitches', String(now.chain.pitches)],
  ];
  return (
    <div class="bench-moment">
      <dl>
        {rows.map(([name, value]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <p>
        {stood.length === 0 ? 'No alarm stood.' : 'Stood: '}
        {stood.map((alarm) => (
          <span class={`alarm-line priority-${alarm.priority}`} key={`${alarm.alarm}${alarm.side ?? ''}`}>
            <PriorityShape priority={alarm.priority} fresh={false} /> {alarmWords(alarm.alarm)}
            {alarm.side === undefined ? '' : `, ${alarm.side}`}{' '}
          </span>
        ))}
      </p>
    </div>
  );
}

function words(figure: Figure, kind: DisplayKind): string {
  return typeof figure === 'number' ? showText(kind, figure, units.value) : 'unknown';
}
