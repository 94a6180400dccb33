import type { TakeupNow } from '../../../agent/contract/messages.js';
import { showText, type UnitSystem } from '../../../agent/units/display.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { alarmWords, isUp } from './alarm-words.js';
import { numberOf, reasonOf } from './figure.js';
import { textInUnits } from './text-units.js';

/** What is normal at a take-up and what is not, in two or three sentences. */
export function takeupSentence(now: TakeupNow, alarms: readonly StandingEntry[], units: UnitSystem): string {
  return [
    standsWhere(now, units),
    textInUnits(goesWhere(now), units),
    whatIsWrong(alarms),
    ...(now.chain.provisional ? ['Its elongation is provisional until a change is explained.'] : []),
    ...(now.service === null ? [] : ['A service is open on it.']),
  ].join(' ');
}

/** The drawing in words, for those who do not see it. */
export function rulerWords(now: TakeupNow | undefined, strokeMm: number, units: UnitSystem): string {
  if (now === undefined) return `Stroke ${showText('travel-rough', strokeMm, units)}; where the carriage stands is not known yet.`;
  const [left, right] = [now.left.readingMm, now.right.readingMm].map(numberOf);
  const sides = left === undefined || right === undefined ? '' : `, left side ${at(left, units)}, right side ${at(right, units)}`;
  return `${standsWhere(now, units)} Stroke ${showText('travel-rough', strokeMm, units)}${sides}.`;
}

function standsWhere({ remainingMm, running }: TakeupNow, units: UnitSystem): string {
  const left = numberOf(remainingMm);
  if (left === undefined) return `Where the carriage stands is not known: ${reasonOf(remainingMm) ?? ''}.`;
  const standing = running === false ? ', the conveyor standing' : '';
  // A sensor that reads a little more than the stroke is long.
  const where = left < 0 ? 'beyond' : 'before';
  return `The carriage stands ${showText('travel-rough', Math.abs(left), units)} ${where} its outer stop${standing}.`;
}

function goesWhere({ trend, time }: TakeupNow): string {
  const { strokeOut, why, first } = trend;
  const sooner = first === undefined || first.what === 'stroke-out' ? '' : ` ${soonerWords(trend, first.what, time)}`;
  if (strokeOut === null) return `${why ?? 'There is no forecast yet.'}${sooner}`;
  // By the clock of the data, to the day: dates are never nearer than that.
  if (strokeOut.date <= time.slice(0, 10)) return `Its stroke has been used up since ${strokeOut.date}.${sooner}`;
  const latest = strokeOut.late === null ? 'with no latest date' : `${strokeOut.late} at the latest`;
  return `It reaches the stop about ${strokeOut.date}, ${strokeOut.early} at the earliest, ${latest}.${sooner}`;
}

/** What comes before the stop, or alone where no date of the stop is known. */
function soonerWords({ strokeOut, springSlack, wearLimit }: TakeupNow['trend'], what: 'spring-slack' | 'wear-limit', time: string): string {
  const date = (what === 'spring-slack' ? springSlack : wearLimit)?.date;
  if (date !== undefined && date <= time.slice(0, 10))
    return what === 'spring-slack'
      ? `Its springs have been slack since about ${date}: re-tension it.`
      : `The chain has been past its wear limit since about ${date}: replace it.`;
  const when = date === undefined ? 'Before that' : `${strokeOut === null ? 'About' : 'Before that, about'} ${date}`;
  const subject = what === 'spring-slack' ? 'its springs go slack: re-tension it' : 'the chain reaches its wear limit: replace it';
  return `${when} ${subject}.`;
}

function whatIsWrong(alarms: readonly StandingEntry[]): string {
  const standing = new Set(alarms.filter(({ state }) => isUp(state)).map(({ alarm }) => alarmWords(alarm).toLowerCase()));
  return standing.size === 0 ? 'Nothing is out of the ordinary.' : `Out of the ordinary: ${[...standing].join(', ')}.`;
}

function at(mm: number, units: UnitSystem): string {
  return `at ${showText('travel-rough', mm, units)}`;
}
