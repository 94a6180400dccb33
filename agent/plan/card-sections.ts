import { BLANK_FORMS } from './card-blanks.js';
import { CAUTIONS } from './cautions.js';
import { BLANK_LABELS, SECTION_HEADINGS, STEP_TEXTS, filledText } from './job-card-texts.js';
import { type BlankKey, type CardFact, type CardLine, type JobCard, type SectionKey, SECTION_KEYS, type StepKey } from './job-card.js';

/** Where the job is. */
export interface CardPlace {
  readonly siteName: string;
  readonly conveyorName: string;
  readonly takeupId: string;
  readonly location: string;
}

export type CardFigures = Readonly<Record<string, string>>;
export type CardLines = Readonly<Partial<Record<Exclude<SectionKey, 'cautions'>, readonly CardLine[]>>>;

/** A card with its sections in the order of the work: the cautions first, sections without lines left out. */
export function cardOf(title: string, place: CardPlace, lines: CardLines): JobCard {
  const cautions = CAUTIONS.map((caution) => ({ kind: 'caution' as const, ...caution }));
  return {
    title,
    facts: [
      { label: 'Site', text: place.siteName },
      { label: 'Conveyor', text: place.conveyorName },
      { label: 'Take-up', text: `${place.takeupId}, ${place.location}` },
    ],
    sections: SECTION_KEYS.map((key) => ({
      key,
      heading: SECTION_HEADINGS[key],
      lines: key === 'cautions' ? cautions : (lines[key] ?? []),
    })).filter((section) => section.lines.length > 0),
  };
}

export function facts(all: readonly CardFact[]): readonly CardLine[] {
  return all.map((fact) => ({ kind: 'fact', ...fact }));
}

export function steps(keys: readonly StepKey[], figures: CardFigures): readonly CardLine[] {
  return keys.map((key) => ({ kind: 'step', key, text: filledText(STEP_TEXTS[key], figures) }));
}

export function blanks(keys: readonly BlankKey[], unit?: string): readonly CardLine[] {
  return keys.map((key) => ({
    kind: 'blank',
    key,
    label: BLANK_LABELS[key],
    form: BLANK_FORMS[key],
    ...(unit === undefined ? {} : { unit }),
  }));
}

/** What every card asks for before anything is opened. */
export function lockOutLines(figures: CardFigures): readonly CardLine[] {
  return [
    ...steps(['open-service', 'prepare', 'shut-down', 'isolate', 'lock-and-tag', 'verify'], figures),
    ...blanks(['locked-by', 'locked-at', 'verified-by']),
  ];
}

/** What is measured before anything is moved. */
export function foundLines(figures: CardFigures, travelUnit: string): readonly CardLine[] {
  return [
    ...steps(['measure'], figures),
    ...blanks(['found-position-left', 'found-position-right', 'found-spring-left', 'found-spring-right'], travelUnit),
    ...blanks(['found-note']),
  ];
}

/** What is seen to before the conveyor starts again. */
export function restartLines(figures: CardFigures): readonly CardLine[] {
  return [
    ...steps(['rock-check', 'restraint-nuts-out', 'tools-out', 'guards-back', 'people-clear', 'unlock'], figures),
    ...blanks(['unlocked-by']),
  ];
}

/** Blanks that end every card. */
export function closingBlanks(travelUnit: string): readonly CardLine[] {
  return [
    ...blanks(['done-turns-left', 'done-turns-right']),
    ...blanks(['done-spring-left', 'done-spring-right'], travelUnit),
    ...blanks(['done-restraint-nuts', 'done-rock', 'done-lubricated', 'done-noise', 'done-filings', 'done-note', 'done-by', 'done-at']),
  ];
}
