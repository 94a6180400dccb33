import type { ComponentChildren } from 'preact';
import type { ForecastDate, TakeupNow } from '../../../agent/contract/messages.js';
import { localTime } from '../../../agent/units/local-time.js';
import { showRange, showText } from '../../../agent/units/display.js';
import type { EntryAnswer, FindingAnswer } from '../../server/logic/work-answers.js';
import { alarmTitle, callsForSomeone, isNew, priorityWords, stateWords } from '../logic/alarm-words.js';
import { findingStateWords } from '../logic/finding-state.js';
import { compareAlarms } from '../logic/floor-order.js';
import { olderReading } from '../logic/reading-age.js';
import { takeupSentence } from '../logic/takeup-sentence.js';
import { entrySentence, findingWords } from '../logic/work-words.js';
import { PriorityShape } from '../parts/alarm-mark.js';
import { FigureText } from '../parts/figure-text.js';
import { NoAnswer } from '../parts/no-answer.js';
import { Ruler } from '../parts/ruler.js';
import { Springs } from '../parts/springs.js';
import { WholeDates } from '../parts/whole-dates.js';
import { ask } from '../state/api.js';
import { noneWords, standing, takeupNow } from '../state/live.js';
import type { Place } from '../state/places.js';
import { site, units } from '../state/session.js';
import { useAnswer, type Answer } from '../state/use-answer.js';
import { workTold } from '../state/work.js';

/** So much of the log goes on paper. */
const LAST_WORK = 5;
const LAST_FINDINGS = 4;

interface ReportTakeupProps extends Place {
  /** The first day whose findings are reported, `YYYY-MM-DD`. */
  readonly since: string;
}

/** One take-up of the report: the drawing, the figures with their ranges, and what was found and done. */
export function ReportTakeup({ conveyor, takeup, since }: ReportTakeupProps) {
  const now = takeupNow(conveyor.id, takeup.id).value;
  const path = `/api/takeups/${encodeURIComponent(conveyor.id)}/${encodeURIComponent(takeup.id)}`;
  const told = workTold(conveyor.id).value;
  const findings = useAnswer(() => ask<readonly FindingAnswer[]>('GET', `${path}/findings`), [path, told]);
  const entries = useAnswer(() => ask<readonly EntryAnswer[]>('GET', `${path}/entries`), [path, told]);
  const alarms = standing.value.filter((one) => one.conveyor === conveyor.id && one.takeup === takeup.id).toSorted(compareAlarms);
  const up = alarms.filter(({ state }) => callsForSomeone(state));
  return (
    <section class="report-takeup" aria-label={`Take-up ${takeup.id}`}>
      <h2>
        Take-up {takeup.id} <span class="where">{takeup.location}</span>
      </h2>
      <p>
        <WholeDates text={now === undefined ? 'Nothing has been heard of it yet.' : takeupSentence(now, alarms, units.value)} />
      </p>
      {now === undefined ? null : <p class="since">{readWords(now)}</p>}
      <div class="report-drawing">
        <Ruler takeup={takeup} now={now} alarms={alarms} size="row" />
        <Springs takeup={takeup} now={now} alarms={alarms} size="row" />
      </div>
      {now === undefined ? null : <Figures conveyor={conveyor} takeup={takeup} now={now} />}
      <div class="report-lists">
        <List title="Alarms standing" none={now === undefined ? 'Not known.' : noneWords.value}>
          {up.map((alarm) => (
            <li key={alarm.id} class={`priority-${alarm.priority}`}>
              <PriorityShape priority={alarm.priority} fresh={isNew(alarm.state)} /> {alarmTitle(alarm)}
              <span class="note">
                {priorityWords(alarm.priority)}, {stateWords(alarm.state)}
              </span>
            </li>
          ))}
        </List>
        <Asked title="Findings of 90 days" none={now === undefined ? 'Not known.' : 'Nothing beyond wear and heat.'} answer={findings}>
          {(all) =>
            all
              .filter(({ toMs }) => dayOf(toMs) >= since)
              .slice(0, LAST_FINDINGS)
              .map((finding) => (
                <li key={finding.id}>
                  {dayOf(finding.toMs)} {findingWords(finding.finding)}
                  <span class="note">{findingStateWords(finding)}</span>
                </li>
              ))
          }
        </Asked>
        <Asked title="Last work" none="Nothing has been written down." answer={entries}>
          {(all) =>
            all
              .filter(({ state }) => state !== 'withdrawn')
              .slice(0, LAST_WORK)
              .map((entry) => (
                <li key={entry.id}>
                  {dayOf(entry.timeMs)} {entrySentence(entry.entry, units.value)}
                  <span class="note">{entry.by ?? ''}</span>
                </li>
              ))
          }
        </Asked>
      </div>
    </section>
  );
}

/** On paper an age would grow old by itself: the time is said. */
function readWords(now: TakeupNow): string {
  const at = olderReading(now);
  if (at === undefined) return 'One of its position sensors has never been read.';
  const { date, minutes } = localTime(Date.parse(at), site.value?.timezone ?? 'UTC');
  return `Last read ${date} ${minutes}.`;
}

function dayOf(timeMs: number): string {
  return localTime(timeMs, site.value?.timezone ?? 'UTC').date;
}

function Figures({ conveyor, takeup, now }: Place & { readonly now: TakeupNow }) {
  const { chain, trend } = now;
  const { spring } = takeup;
  const rate = trend.elongationPctPerDay;
  return (
    <dl class="report-figures">
      <Item name="Settled position">
        <FigureText kind="travel" figure={now.settledMm} /> of {showText('travel', takeup.strokeMm, units.value)}
      </Item>
      <Item name="To the outer stop">
        <FigureText kind="travel" figure={now.remainingMm} />
      </Item>
      <Item name="Breathing">
        <FigureText kind="travel" figure={now.breathingMm} />
      </Item>
      <Item name="Skew">
        <FigureText kind="travel" figure={now.skewMm} />
      </Item>
      <Item name="Elongation">
        <FigureText kind="elongation" figure={chain.elongationPct} /> of {showText('elongation', conveyor.chain.wearLimitPct, units.value)}
        {chain.provisional ? ', provisional' : ''}
      </Item>
      <Item name="Elongation a day">
        {rate === null ? (
          <Unknown />
        ) : (
          `${showText('elongation-rate', rate.value, units.value)} (${showRange('elongation-rate', rate.low, rate.high, units.value)})`
        )}
      </Item>
      <Item name="Wear a joint">
        <FigureText kind="wear" figure={chain.wearPerJointMm} />
      </Item>
      <Item name="Pitches now">
        {chain.pitches}, {chain.removedPitches} taken out
      </Item>
      <Item name="Travel used up">
        <DateText forecast={trend.strokeOut} />
      </Item>
      <Item name="Springs slack">
        <DateText forecast={trend.springSlack} />
      </Item>
      <Item name="Wear limit reached">
        <DateText forecast={trend.wearLimit} />
      </Item>
      <Item name="Springs left, right">
        <FigureText kind="travel" figure={now.left.springMm} brief />, <FigureText kind="travel" figure={now.right.springMm} brief /> of{' '}
        {showText('travel', spring.freeMm, units.value)} free
      </Item>
      <Item name="Before coils touch">
        <FigureText kind="travel" figure={now.marginToSolidMm} />
      </Item>
      <Item name="Strand tension">
        <FigureText kind="force" figure={now.strandTensionN} />
      </Item>
    </dl>
  );
}

function Item({ name, children }: { readonly name: string; readonly children: ComponentChildren }) {
  return (
    <div class="figure-line">
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}

function Unknown() {
  return <span class="unknown">unknown</span>;
}

/** Why there is no date is in the sentence above. */
function DateText({ forecast }: { readonly forecast: ForecastDate | null }) {
  if (forecast === null) return <span class="unknown">no date</span>;
  return (
    <>
      {forecast.date}
      {forecast.early === forecast.late ? null : (
        <span class="note">
          {forecast.early} to {forecast.late ?? 'open'}
        </span>
      )}
    </>
  );
}

function List({ title, none, children }: { readonly title: string; readonly none: string; readonly children: readonly preact.VNode[] }) {
  return (
    <section>
      <h3>{title}</h3>
      {children.length === 0 ? <p class="quiet-words">{none}</p> : <ul class="plain-list">{children}</ul>}
    </section>
  );
}

interface AskedProps<T> {
  readonly title: string;
  readonly none: string;
  readonly answer: Answer<readonly T[]>;
  readonly children: (all: readonly T[]) => readonly preact.VNode[];
}

function Asked<T>({ title, none, answer, children }: AskedProps<T>) {
  if (answer.state === 'here') {
    return (
      <List title={title} none={none}>
        {children(answer.value)}
      </List>
    );
  }
  return (
    <section>
      <h3>{title}</h3>
      {answer.state === 'failed' ? <NoAnswer failed={answer} what={title} /> : <p class="quiet-words">Asking …</p>}
    </section>
  );
}
