import type { AlarmOutput } from '../../../agent/flow/output.js';
import { alarmWords } from './alarm-words.js';

const WORDS: Readonly<Record<AlarmOutput['change'], string>> = {
  raised: 'raised',
  cleared: 'cleared',
  acknowledged: 'acknowledged',
  shelved: 'shelved',
  unshelved: 'back from the shelf',
  suppressed: 'suppressed by design',
  unsuppressed: 'no longer suppressed',
  'out-of-service': 'taken out of service',
  'in-service': 'put back in service',
};

/** Every kind of change, in the order in which a list offers them. */
export const CHANGE_KINDS = Object.keys(WORDS) as readonly AlarmOutput['change'][];

/** What happened to an alarm; a kind that this screen does not know yet is shown as it is. */
export function changeWords(change: string): string {
  return (WORDS as Readonly<Record<string, string>>)[change] ?? change.replaceAll('-', ' ');
}

/** Why it happened, as it was kept; an alarm that is named there by its key is called as everywhere: `stroke-end is up` is “Travel nearly used up” is up. */
export function whyWords(why: string): string {
  return why.replace(/^([a-z]+(?:-[a-z]+)*)(?= is up and says more$)/, (key) => `“${alarmWords(key)}”`);
}
