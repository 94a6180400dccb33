import type { BlankForm, BlankKey } from './job-card.js';

/** What stands in a blank. */
export type BlankValue = string | number;

export type ReadBlank = { readonly ok: true; readonly value: BlankValue } | { readonly ok: false; readonly sentence: string };

const NAME = { takes: 'text', most: 120 } as const;
const WORDS = { takes: 'text', most: 2000 } as const;
const LENGTH = { takes: 'length' } as const;
const TURNS = { takes: 'turns' } as const;
const COUNT = { takes: 'count' } as const;
const TIME = { takes: 'time' } as const;

export const BLANK_FORMS: Readonly<Record<BlankKey, BlankForm>> = {
  'locked-by': NAME,
  'locked-at': TIME,
  'verified-by': NAME,
  permit: NAME,
  'fire-watch-by': NAME,
  'found-position-left': LENGTH,
  'found-position-right': LENGTH,
  'found-spring-left': LENGTH,
  'found-spring-right': LENGTH,
  'found-note': WORDS,
  'done-pitches': COUNT,
  'done-carriers': COUNT,
  'done-turns-left': TURNS,
  'done-turns-right': TURNS,
  'done-spring-left': LENGTH,
  'done-spring-right': LENGTH,
  'done-restraint-nuts': { takes: 'choice', choices: ['out', 'in'] },
  'done-rock': { takes: 'choice', choices: ['ok', 'excessive'] },
  'done-lubricated': { takes: 'choice', choices: ['yes', 'no'] },
  'done-noise': NAME,
  'done-filings': NAME,
  'done-settled': LENGTH,
  'done-note': WORDS,
  'done-by': NAME,
  'done-at': TIME,
  'unlocked-by': NAME,
};

/** Slips of the pen lie beyond: a hundred turns, ten metres, a thousand pitches. */
const MOST_TURNS = 100;
const MOST_MM = 10_000;
const MOST_COUNT = 1000;

const INSTANT = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d{1,3})?)?Z$/u;

/** Takes what a person wrote into a blank, or says in a sentence what it takes. */
export function readBlank(key: BlankKey, value: unknown): ReadBlank {
  const form = BLANK_FORMS[key];
  switch (form.takes) {
    case 'text': {
      const text = typeof value === 'string' ? value.trim() : '';
      return text !== '' && text.length <= form.most ? taken(text) : refused(`Write up to ${String(form.most)} letters.`);
    }
    case 'time':
      return typeof value === 'string' && INSTANT.test(value) && !Number.isNaN(Date.parse(value))
        ? taken(value)
        : refused('Give a date and a time of day.');
    case 'count':
      return inRange(value, 0, MOST_COUNT) && Number.isInteger(value) ? taken(value) : refused('Give a whole number, 0 or more.');
    case 'turns':
      return inRange(value, -MOST_TURNS, MOST_TURNS) ? taken(value) : refused('Give the turns as a number, such as 2.25 or -1.');
    case 'length':
      return inRange(value, 0, MOST_MM) ? taken(value) : refused('Give a length, 0 or more.');
    case 'choice':
      return typeof value === 'string' && form.choices.includes(value) ? taken(value) : refused(`Choose ${form.choices.join(' or ')}.`);
  }
}

function inRange(value: unknown, least: number, most: number): value is number {
  return typeof value === 'number' && value >= least && value <= most;
}

function taken(value: BlankValue): ReadBlank {
  return { ok: true, value };
}

function refused(sentence: string): ReadBlank {
  return { ok: false, sentence };
}
