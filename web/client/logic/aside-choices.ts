import type { Conveyor, Signal } from '../../../agent/site/site.js';
import type { AlarmAnswer, TakeupAnswer } from '../../server/logic/site-answer.js';
import { alarmWords } from './alarm-words.js';
import { signalsOfConveyor } from './site-signals.js';

/** An alarm that may be set aside, whether it stands or not. */
export interface AsideChoice {
  readonly alarm: string;
  /** Whose it is, where it is one of a sensor. */
  readonly signal?: string;
  readonly words: string;
}

/** A place that has alarms: a take-up, or what of a conveyor belongs to none. */
export interface AsidePlace {
  readonly conveyor: string;
  readonly takeup?: string;
}

/** Said about a page, or by the web server: whoever sets them aside beforehand would be told of nothing. */
const NEVER_ASIDE: ReadonlySet<string> = new Set(['agent-silent', 'page-unanswered']);
/** Without a least or greatest tension there is no alarm. */
const NEEDS_LIMIT: ReadonlySet<string> = new Set(['tension-low', 'tension-high']);

/** Every alarm of a place, those of its sensors named by sensor, in the order of the alarm list. */
export function asideChoices(conveyor: Conveyor, takeup: TakeupAnswer | undefined, alarms: readonly AlarmAnswer[]): readonly AsideChoice[] {
  const signals = signalsOfConveyor(conveyor).filter((signal) => takeupOf(signal) === takeup?.id);
  return alarms.flatMap(({ alarm }): readonly AsideChoice[] => {
    if (NEVER_ASIDE.has(alarm)) return [];
    if (alarm.startsWith('signal-'))
      return signals.map(({ name }) => ({ alarm, signal: name, words: `${alarmWords(alarm)}: ${sensorWords(name, takeup?.id)}` }));
    if (takeup === undefined || (NEEDS_LIMIT.has(alarm) && takeup.setPoints[alarm] === undefined)) return [];
    return [{ alarm, words: alarmWords(alarm) }];
  });
}

/** Whether a conveyor has sensors that belong to no take-up. */
export function hasOwnSensors(conveyor: Conveyor): boolean {
  return signalsOfConveyor(conveyor).some((signal) => takeupOf(signal) === undefined);
}

function takeupOf({ name, quantity }: Signal): string | undefined {
  return quantity === 'position' || quantity === 'spring' ? name.split('/')[1] : undefined;
}

/** `left position`, `furnace temperature`: the sensor's name without its place. */
function sensorWords(name: string, takeup: string | undefined): string {
  return name
    .split('/')
    .slice(takeup === undefined ? 1 : 2)
    .join(' ');
}
