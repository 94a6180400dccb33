import type { BenchAlarm, BenchFinding, BenchReject, BenchResult } from '../../../agent/contract/bench.js';
import { alarmWords, priorityWords } from '../logic/alarm-words.js';
import { findingWords, rejectAdvice, rejectWords } from '../logic/bench-words.js';
import { PriorityShape } from '../parts/alarm-mark.js';
import { timeWords } from '../logic/site-clock.js';

interface EventsProps {
  readonly result: BenchResult;
  readonly atMs: number;
  readonly goTo: (timeMs: number) => void;
}

const MOST_SHOWN = 200;

type Told = { readonly timeMs: number } & ({ readonly alarm: BenchAlarm } | { readonly finding: BenchFinding });

/** What was told up to the instant, latest first; and the readings that were not used. */
export function BenchEvents({ result, atMs, goTo }: EventsProps) {
  const told: readonly Told[] = [
    ...result.alarms.map((alarm): Told => ({ timeMs: alarm.timeMs, alarm })),
    ...result.findings.map((finding): Told => ({ timeMs: finding.timeMs, finding })),
  ]
    .filter(({ timeMs }) => timeMs <= atMs)
    .toSorted((a, b) => b.timeMs - a.timeMs);
  return (
    <div class="bench-lists">
      <section class="card" aria-labelledby="bench-told">
        <h3 id="bench-told">Told up to then: {told.length}</h3>
        {told.length === 0 ? (
          <p>Nothing yet.</p>
        ) : (
          <ol class="bench-told">
            {told.slice(0, MOST_SHOWN).map((one) => (
              <li key={JSON.stringify(one)}>
                <button type="button" class="plain" onClick={() => goTo(one.timeMs)}>
                  {timeWords(one.timeMs, result.timezone)}
                </button>{' '}
                {'alarm' in one ? <AlarmTold alarm={one.alarm} /> : <span>{findingText(one.finding)}</span>}
              </li>
            ))}
          </ol>
        )}
        {result.leftOut > 0 ? <p class="quiet-words">{result.leftOut} more were told and are not listed.</p> : null}
      </section>
      <Rejects result={result} goTo={goTo} />
    </div>
  );
}

function AlarmTold({ alarm }: { readonly alarm: BenchAlarm }) {
  const up = alarm.change === 'raised';
  const where = [alarm.conveyor, alarm.takeup, alarm.side, alarm.takeup === undefined ? alarm.signal : undefined].filter(Boolean).join(' ');
  return (
    <span class={`alarm-line priority-${alarm.priority} ${up ? 'fresh' : 'over'}`}>
      {up ? <PriorityShape priority={alarm.priority} fresh /> : null}
      <span class="unseen">{priorityWords(alarm.priority)}: </span>
      <span>
        {up ? '' : 'Over: '}
        {alarmWords(alarm.alarm)}, {where}
        {alarm.value === null || !up ? '' : `: ${String(Math.round(alarm.value * 100) / 100)} ${alarm.unit}`}
      </span>
    </span>
  );
}

function findingText({ finding, conveyor, takeup, text }: BenchFinding): string {
  return `${findingWords(finding)}, ${conveyor} ${takeup}. ${text}`;
}

function Rejects({ result, goTo }: Pick<EventsProps, 'result' | 'goTo'>) {
  const counts = Object.entries(result.rejected).filter(([, count]) => count > 0) as [BenchReject['reason'], number][];
  const advice = rejectAdvice(result.rejected, result.summary.recording.readings);
  return (
    <section class="card" aria-labelledby="bench-rejects">
      <h3 id="bench-rejects">Readings not used</h3>
      <p>
        {counts.length === 0
          ? `None of ${result.summary.recording.readings}.`
          : `${counts.map(([reason, count]) => `${count} ${rejectWords(reason)}`).join(', ')}, of ${result.summary.recording.readings}.`}
      </p>
      {advice === undefined ? null : <p>{advice}</p>}
      {result.rejects.length === 0 ? null : (
        <details>
          <summary>One by one{result.rejects.length >= MOST_SHOWN ? `, the first ${MOST_SHOWN}` : ''}</summary>
          <ul class="bench-told">
            {result.rejects.slice(0, MOST_SHOWN).map(({ reason, line, signal, timeMs }, index) => (
              <li key={index}>
                {timeMs === undefined ? null : (
                  <button type="button" class="plain" onClick={() => goTo(timeMs)}>
                    {timeWords(timeMs, result.timezone)}
                  </button>
                )}{' '}
                {signal ?? (line === undefined || Number.isNaN(line) ? '' : `line ${line}`)}: {rejectWords(reason)}
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}
