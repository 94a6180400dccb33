import { useComputed, type Signal } from '@preact/signals';
import { useId, useMemo, useState } from 'preact/hooks';
import type { TakeupNow } from '../../../agent/contract/messages.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { daysRange, daysUntil, daysWords } from '../logic/age.js';
import { alarmTitle, callsForSomeone, isNew } from '../logic/alarm-words.js';
import { compareAlarms } from '../logic/floor-order.js';
import { reasonOf } from '../logic/figure.js';
import { olderReading } from '../logic/reading-age.js';
import { takeupHref } from '../logic/route.js';
import { briefWhy, rowLines } from '../logic/row-lines.js';
import { AlarmLine, PriorityShape } from '../parts/alarm-mark.js';
import { Age, FigureText } from '../parts/figure-text.js';
import { Ruler } from '../parts/ruler.js';
import { RULER_SIZES, type RulerSize } from '../parts/ruler-sizes.js';
import { Springs } from '../parts/springs.js';
import { useNear } from '../parts/use-near.js';
import { nowMs, takeupNow, today, trouble } from '../state/live.js';
import type { Place } from '../state/places.js';

interface FloorRowProps extends Place {
  readonly alarms: readonly StandingEntry[];
  readonly size: RulerSize;
  /** Nothing can be pressed. */
  readonly still: boolean;
}

/** One take-up on the floor: who it is, what is wrong, the picture, and the numbers. */
export function FloorRow({ conveyor, takeup, alarms, size, still }: FloorRowProps) {
  const heading = useId();
  const [row, near] = useNear<HTMLLIElement>();
  const now = useRowNow(takeupNow(conveyor.id, takeup.id), near);
  const standing = useMemo(() => alarms.filter(({ state }) => callsForSomeone(state)).toSorted(compareAlarms), [alarms]);
  const [worst] = standing;
  const who = useMemo(
    () => <Who conveyor={conveyor} takeup={takeup} heading={heading} worst={worst} still={still} />,
    [conveyor, takeup, heading, worst, still],
  );
  const tags = tagsOf(now);
  const what = useMemo(() => <What standing={standing} tags={tags} size={size} />, [standing, tags.join(), size]);
  const mood = worst === undefined ? 'quiet' : `priority-${worst.priority} ${worst.state === 'unacknowledged' ? 'fresh' : 'seen'}`;
  return (
    <li ref={row} class={`row ${mood} ${trouble.value === undefined ? '' : 'stale'}`} aria-labelledby={heading}>
      {who}
      {what}
      {near ? <Ruler takeup={takeup} now={now} alarms={alarms} size={size} /> : <div class="ruler" style={roomOf(size)} />}
      <Numbers now={now} unseen={!near} />
      {near ? <Springs takeup={takeup} now={now} alarms={alarms} size={size} /> : <div class="springs" />}
    </li>
  );
}

interface WhoProps extends Place {
  readonly heading: string;
  readonly worst: StandingEntry | undefined;
  readonly still: boolean;
}

function Who({ conveyor, takeup, heading, worst, still }: WhoProps) {
  const name = (
    <>
      <span title={conveyor.name}>{conveyor.name}</span> <b title={takeup.id}>{takeup.id}</b>
    </>
  );
  return (
    <div class="who">
      <span class="mark">{worst === undefined ? null : <PriorityShape priority={worst.priority} fresh={isNew(worst.state)} />}</span>
      <div class="names" title={takeup.location}>
        <h3 id={heading}>
          {still ? (
            <span class="name">{name}</span>
          ) : (
            <a class="name" href={takeupHref(conveyor.id, takeup.id)}>
              {name}
            </a>
          )}
        </h3>
        <p class="where">{takeup.location}</p>
      </div>
    </div>
  );
}

/** A row that nobody sees follows so often. */
const UNSEEN_S = 5;
/** In which of those seconds: not all of them in the same. */
let turns = 0;

/** The latest of a take-up: at once where it is seen, within seconds where it is not. */
function useRowNow(latest: Signal<TakeupNow | undefined>, near: boolean): TakeupNow | undefined {
  const [turn] = useState(() => (turns += 1));
  const slowly = useComputed(() => Math.floor((nowMs.value / 1000 + turn) / UNSEEN_S));
  if (near || latest.peek() === undefined) return latest.value;
  // Looked at so that the row is drawn when it changes.
  return slowly.value > 0 ? latest.peek() : undefined;
}

/** In the place of a ruler that nobody sees. */
function roomOf(size: RulerSize): { readonly height: string } {
  return { height: `${RULER_SIZES[size].height}px` };
}

interface WhatProps {
  readonly standing: readonly StandingEntry[];
  readonly tags: readonly string[];
  readonly size: RulerSize;
}

/** As many alarms as there are lines for, the most pressing first, and in what state the take-up is. */
function What({ standing, tags, size }: WhatProps) {
  const { alarms, roomy } = rowLines(standing.length, tags.length, size);
  const [shown, left] = [standing.slice(0, alarms), standing.slice(alarms)];
  return (
    <div class={`what ${roomy ? 'roomy' : ''}`}>
      {shown.map((alarm) => (
        <AlarmLine key={alarm.id} alarm={alarm} />
      ))}
      {left.length === 0 && tags.length === 0 ? null : (
        <span class="tags">
          {left.length === 0 ? null : <More alarms={left} />}
          {tags.map((tag) => (
            <span key={tag} class="tag">
              {tag}
            </span>
          ))}
        </span>
      )}
    </div>
  );
}

/** How many alarms there is no line for; which they are, for those who point at it or listen. */
function More({ alarms }: { readonly alarms: readonly StandingEntry[] }) {
  const names = alarms.map(alarmTitle).join('; ');
  return (
    <span class="more" title={names}>
      +{alarms.length} more<span class="unseen">: {names}</span>
    </span>
  );
}

function tagsOf(now: TakeupNow | undefined): readonly string[] {
  return [
    ...(trouble.value === undefined ? [] : ['Stale']),
    ...(now === undefined || now.service === null ? [] : ['Service open']),
    ...(now?.running === false ? ['Standing'] : []),
    ...(now?.running === null ? ['Running?'] : []),
  ];
}

function Numbers({ now, unseen }: { readonly now: TakeupNow | undefined; readonly unseen: boolean }) {
  if (now === undefined) return <NothingHeard />;
  const unknownWhy = reasonOf(now.remainingMm);
  return (
    <dl class="numbers">
      <div class="number">
        <dt>To outer stop</dt>
        <dd class={`main ${unknownWhy === undefined ? '' : 'unknown'}`}>
          <FigureText kind="travel-rough" figure={now.remainingMm} brief />
        </dd>
        <dd class={`side-note ${unknownWhy === undefined ? '' : 'why'}`}>
          {unknownWhy === undefined ? '' : `${unknownWhy}, `}
          <Age at={olderReading(now)} unseen={unseen} />
        </dd>
      </div>
      <div class="number">
        <dt>Stroke used up in</dt>
        <Forecast now={now} />
      </div>
      <div class="number strand">
        <dt>Strand tension</dt>
        <dd class="lesser">
          <FigureText kind="force" figure={now.strandTensionN} brief />
        </dd>
      </div>
    </dl>
  );
}

/** Unknown is said, not left blank. */
function NothingHeard() {
  return (
    <dl class="numbers">
      <div class="number">
        <dt>To outer stop</dt>
        <dd class="main unknown">unknown</dd>
        <dd class="side-note why">nothing heard yet</dd>
      </div>
    </dl>
  );
}

/** Days to the stop with the earliest and the latest, or why there is no forecast. */
function Forecast({ now: { trend } }: { readonly now: TakeupNow }) {
  if (trend.strokeOut === null) {
    return (
      <>
        <dd class="main unknown">no date</dd>
        <dd class="side-note why" title={trend.why}>
          {trend.why === undefined ? '' : briefWhy(trend.why)}
        </dd>
      </>
    );
  }
  const { date, early, late } = trend.strokeOut;
  const [days, least] = [date, early].map((day) => Math.max(0, daysUntil(day, today.value))) as [number, number];
  const most = late === null ? undefined : Math.max(0, daysUntil(late, today.value));
  if (most === 0) {
    return (
      <>
        <dd class="main">used up</dd>
        <dd class="side-note">since {date}</dd>
      </>
    );
  }
  return (
    <>
      <dd class="main">{daysWords(days)}</dd>
      <dd class="side-note">{daysRange(least, most)}</dd>
    </>
  );
}
