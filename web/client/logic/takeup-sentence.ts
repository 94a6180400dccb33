import type { TakeupNow } from '../../../agent/contract/messages.js';
import { showText, type UnitSystem } from '../../../agent/units/display.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { alarmWords, isUp } from './alarm-words.js';
import { numberOf, reasonOf } from './figure.js';

/** What is normal at a take-up and what is not, in two or three sentences. */
export function takeupSentence(now: TakeupNow, alarms: readonly StandingEntry[], units: UnitSystem): string {
  return [standsWhere(now, units), goesWhere(now), whatIsWrong(alarms), ...(now.service === null ? [] : ['A service is open on it.'])].join(
    ' ',
  );
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
  return `The carriage stands ${showText('travel-rough', left, units)} before its outer stop${standing}.`;
}

function goesWhere({ trend }: TakeupNow): string {
  const { strokeOut, first } = trend;
  const soonest = first === undefined ? '' : SOONEST[first.what];
  if (strokeOut === null) return `${trend.why ?? 'There is no forecast yet.'}${soonest}`;
  const latest = strokeOut.late === null ? 'with no latest date' : `${strokeOut.late} at the latest`;
  return `It reaches the stop about ${strokeOut.date}, ${strokeOut.early} at the earliest, ${latest}.${soonest}`;
}

const SOONEST: Readonly<Record<NonNullable<TakeupNow['trend']['first']>['what'], string>> = {
  'stroke-out': '',
  'spring-slack': ' Before that its springs go slack: re-tension it.',
  'wear-limit': ' Before that the chain reaches its wear limit: replace it.',
};

function whatIsWrong(alarms: readonly StandingEntry[]): string {
  const standing = new Set(alarms.filter(({ state }) => isUp(state)).map(({ alarm }) => alarmWords(alarm).toLowerCase()));
  return standing.size === 0 ? 'Nothing is out of the ordinary.' : `Out of the ordinary: ${[...standing].join(', ')}.`;
}

function at(mm: number, units: UnitSystem): string {
  return `at ${showText('travel-rough', mm, units)}`;
}
