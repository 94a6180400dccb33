import type { Figure } from '../../../agent/contract/messages.js';
import type { UnknownReason } from '../../../agent/units/unknown.js';

const REASON_WORDS: Readonly<Record<UnknownReason, string>> = {
  'never-read': 'no reading yet',
  'signal-lost': 'sensor silent',
  'signal-fault': 'sensor fault',
  'running-unknown': 'not known whether it runs',
  standing: 'conveyor stands',
  'at-stop': 'at a stop',
  'springs-solid': 'springs solid',
  'springs-free': 'springs free',
  'change-unexplained': 'a change is not explained',
  'not-settled': 'not settled yet',
  'not-configured': 'not set up',
};

/** Why a figure is not known, in words; of a reason that a newer agent made up, its own name. */
export function reasonWords(reason: string): string {
  return (REASON_WORDS as Readonly<Record<string, string>>)[reason] ?? reason.replaceAll('-', ' ');
}

/** The number of a figure; undefined where it is not known. */
export function numberOf(figure: Figure | undefined): number | undefined {
  return typeof figure === 'number' ? figure : undefined;
}

/** The reason of a figure that is not known. */
export function reasonOf(figure: Figure | undefined): string | undefined {
  return typeof figure === 'object' ? reasonWords(figure.unknown) : undefined;
}
