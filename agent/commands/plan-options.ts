import { parseArgs } from 'node:util';
import type { GivenFigures } from '../plan/takeup-state.js';
import type { RemovalWish } from '../plan/removal-plan.js';

/** What a person asks `takeline plan` for. */
export interface PlanAsked {
  readonly site: string;
  readonly conveyor: string | undefined;
  readonly takeup: string | undefined;
  readonly summary: string | undefined;
  readonly figures: GivenFigures;
  readonly wish: RemovalWish;
  readonly json: boolean;
}

const TEXT = { type: 'string' } as const;
const SWITCH = { type: 'boolean' } as const;

const OPTIONS = {
  help: { type: 'boolean', short: 'h' },
  json: SWITCH,
  'keep-carriers': SWITCH,
  conveyor: TEXT,
  takeup: TEXT,
  summary: TEXT,
  position: TEXT,
  elongation: TEXT,
  pitches: TEXT,
  'spring-left': TEXT,
  'spring-right': TEXT,
  'travel-per-day': TEXT,
  breathing: TEXT,
  'target-tension': TEXT,
  slack: TEXT,
  cold: TEXT,
} as const;

const DECIMAL = /^[+-]?(\d+\.?\d*|\.\d+)$/u;

/** What is asked for, `help`, or in a sentence what is wrong with how it is asked. */
export function parsePlanOptions(args: readonly string[]): PlanAsked | 'help' | { readonly wrong: string } {
  try {
    const { values, positionals } = parseArgs({ args: [...args], allowPositionals: true, options: OPTIONS });
    if (values.help === true) return 'help';
    const [site, extra] = positionals;
    if (site === undefined) return { wrong: 'which site file? give its path' };
    if (extra !== undefined) return { wrong: `one site file at a time, not also ${extra}` };
    const numbers = new Numbers(values);
    const figures: GivenFigures = {
      positionMm: numbers.of('position', 'mm'),
      elongationPct: numbers.of('elongation', '%'),
      pitches: numbers.of('pitches', 'pitches'),
      springLeftMm: numbers.of('spring-left', 'mm'),
      springRightMm: numbers.of('spring-right', 'mm'),
      travelMmPerDay: numbers.of('travel-per-day', 'mm a day'),
      breathingMm: numbers.of('breathing', 'mm'),
    };
    const wish: RemovalWish = {
      targetTensionN: numbers.of('target-tension', 'N', 'above 0'),
      handlingSlackMm: numbers.of('slack', 'mm', 'at least 0'),
      coldContractionMm: numbers.of('cold', 'mm', 'at least 0'),
      keepEveryCarrier: values['keep-carriers'] === true,
    };
    if (numbers.wrong !== undefined) return { wrong: numbers.wrong };
    if (values.summary === undefined && (figures.positionMm === undefined || figures.elongationPct === undefined)) {
      return { wrong: 'how does the take-up stand? give --position and --elongation, or --summary' };
    }
    const { conveyor, takeup, summary } = values;
    return { site, conveyor, takeup, summary, figures, wish, json: values.json === true };
  } catch (error) {
    return { wrong: error instanceof Error ? (error.message.split('\n')[0] ?? '') : String(error) };
  }
}

/** Options that are numbers; the first that is none, or lies outside what it can be, is remembered. */
class Numbers {
  wrong: string | undefined;

  constructor(private readonly values: Readonly<Record<string, unknown>>) {}

  of(name: keyof typeof OPTIONS, unit: string, range?: 'above 0' | 'at least 0'): number | undefined {
    const text = this.values[name];
    if (typeof text !== 'string') return undefined;
    const value = DECIMAL.test(text) ? Number(text) : NaN;
    const fits = Number.isFinite(value) && (range === undefined || value > 0 || (range === 'at least 0' && value === 0));
    if (fits) return value;
    this.wrong ??= `--${name} takes a number of ${unit}${range === undefined ? '' : ` ${range}`}, not ${text}`;
    return undefined;
  }
}
