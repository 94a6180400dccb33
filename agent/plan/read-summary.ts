import type { GivenFigures } from './takeup-state.js';

/** Why a summary says nothing of a take-up. */
export type SummaryFault =
  | { readonly fault: 'not-a-summary'; readonly what: string }
  | { readonly fault: 'other-site'; readonly site: string }
  | { readonly fault: 'takeup-not-in-it' };

export type SummaryReading = { readonly ok: true; readonly figures: GivenFigures } | { readonly ok: false; readonly fault: SummaryFault };

/**
 * What the `summary.json` of a replay (contracts §4) knows of one take-up. A figure that is null there is left out.
 *
 * @param json - what `JSON.parse` gave
 */
export function readSummary(json: unknown, site: string, conveyor: string, takeup: string): SummaryReading {
  if (!isRecord(json) || !Array.isArray(json['takeups'])) return notASummary('it has no list of take-ups');
  if (json['site'] !== site) return { ok: false, fault: { fault: 'other-site', site: String(json['site']) } };
  const own = json['takeups'].filter(isRecord).find((one) => one['conveyor'] === conveyor && one['takeup'] === takeup);
  if (own === undefined) return { ok: false, fault: { fault: 'takeup-not-in-it' } };
  const read = new Figures(own);
  const figures: GivenFigures = {
    positionMm: read.number('positionMm'),
    elongationPct: read.number('chain', 'elongationPct'),
    pitches: read.number('chain', 'pitches'),
    springLeftMm: read.number('spring', 'leftMm'),
    springRightMm: read.number('spring', 'rightMm'),
    travelMmPerDay: read.number('trend', 'travelMmPerDay'),
    breathingMm: read.number('breathingMm'),
    thermalMm: read.number('chain', 'thermalMm'),
    provisional: read.yes('chain', 'provisional'),
  };
  return read.bad === undefined ? { ok: true, figures } : notASummary(`${read.bad} is no number`);
}

/** A fault of a summary as a person is told it. */
export function summaryFaultSentence(fault: SummaryFault): string {
  switch (fault.fault) {
    case 'not-a-summary':
      return `this is not the summary.json of a replay: ${fault.what}`;
    case 'other-site':
      return `this summary is of the site ${fault.site}: give that of a replay with this site file`;
    case 'takeup-not-in-it':
      return 'this summary does not have the take-up: replay again with this site file';
  }
}

/** Figures by their place in a summary; the first that is neither a number nor null is remembered. */
class Figures {
  bad: string | undefined;

  constructor(private readonly summary: Readonly<Record<string, unknown>>) {}

  number(...place: readonly string[]): number | undefined {
    const value = this.at(place);
    if (value === null || value === undefined) return undefined;
    if (typeof value === 'number') return value;
    this.bad ??= place.join('.');
    return undefined;
  }

  yes(...place: readonly string[]): boolean {
    return this.at(place) === true;
  }

  private at(place: readonly string[]): unknown {
    return place.reduce<unknown>((value, key) => (isRecord(value) ? value[key] : undefined), this.summary);
  }
}

function notASummary(what: string): SummaryReading {
  return { ok: false, fault: { fault: 'not-a-summary', what } };
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
