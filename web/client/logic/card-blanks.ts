import { BLANK_FORMS, readBlank as checkBlank, type BlankValue } from '../../../agent/plan/card-blanks.js';
import type { BlankForm, BlankKey } from '../../../agent/plan/job-card.js';
import { toShown, type UnitSystem } from '../../../agent/units/display.js';
import { formatTime } from '../../../agent/units/time.js';
import { fromField, toField } from './site-clock.js';
import { typedNumber } from './typed-number.js';

/** In what a card's blanks are typed and read. */
export interface BlankContext {
  /** Those of the sheet, whatever the reader chose: its steps are written in them. */
  readonly units: UnitSystem;
  readonly timezone: string;
}

/** A text longer than a name takes a field of several lines. */
const ONE_LINE = 200;

/** How a blank looks: what it takes, and a text in one line or in several. */
export function blankLook(form: BlankForm): 'line' | 'lines' | Exclude<BlankForm['takes'], 'text'> {
  if (form.takes !== 'text') return form.takes;
  return form.most > ONE_LINE ? 'lines' : 'line';
}

const CHOICE_WORDS: Readonly<Partial<Record<BlankKey, Readonly<Record<string, string>>>>> = {
  'done-restraint-nuts': { out: 'run out, as they should be', in: 'run in: the carriage is held' },
  'done-rock': { ok: 'in order', excessive: 'too much' },
};

/** A choice of a blank as people say it. */
export function choiceWords(key: BlankKey, choice: string): string {
  return CHOICE_WORDS[key]?.[choice] ?? choice;
}

/** What stands in a blank as it is typed. */
export function blankText(key: BlankKey, value: BlankValue, { units, timezone }: BlankContext): string {
  const { takes } = BLANK_FORMS[key];
  if (typeof value === 'number') return String(takes === 'length' ? Number(toShown('travel', value, units).toFixed(3)) : value);
  if (takes !== 'time') return value;
  const ms = Date.parse(value);
  return Number.isNaN(ms) ? value : toField(ms, timezone);
}

/** What is typed in a blank as the server takes it, null for nothing; or what is wrong with it. */
export function readBlank(
  key: BlankKey,
  text: string,
  context: BlankContext,
): { readonly value: BlankValue | null } | { readonly fault: string } {
  const plain = text.trim();
  if (plain === '') return { value: null };
  const typed = inOwnForm(BLANK_FORMS[key], plain, context);
  if ('fault' in typed) return typed;
  const checked = checkBlank(key, typed.value);
  return checked.ok ? { value: checked.value } : { fault: checked.sentence };
}

function inOwnForm(
  { takes }: BlankForm,
  text: string,
  { units, timezone }: BlankContext,
): { readonly value: BlankValue } | { readonly fault: string } {
  switch (takes) {
    case 'text':
    case 'choice':
      return { value: text };
    case 'time': {
      const ms = fromField(text, timezone);
      return ms === undefined ? { fault: 'Give a date and a time that the clock of the site has.' } : { value: formatTime(ms) };
    }
    case 'length':
      return typedNumber(text, 'travel', units);
    case 'turns':
      return typedNumber(text, 'number', units);
    case 'count':
      return typedNumber(text, 'count', units);
  }
}
