/** Why a site file is refused: one name a rule. Each has a file in `fixtures/sites/refused/` that breaks it. */
export const FAULT_RULES = [
  // the file itself
  'file-empty',
  'file-not-text',
  'yaml-syntax',
  'duplicate-key',
  // its shape
  'unknown-key',
  'missing-key',
  'either-or',
  'wrong-type',
  'unknown-value',
  'not-positive',
  'not-whole',
  'out-of-range',
  'empty-text',
  'empty-list',
  'bad-id',
  'bad-time',
  'bad-topic',
  'bad-pointer',
  'bad-address',
  'bad-url',
  // what it says
  'unknown-time-zone',
  'repeated-id',
  'reserved-id',
  'longer-than-chain',
  'tension-order',
  'carrier-spacing',
  'zones-longer-than-chain',
  'rise-over-length',
  'two-drives',
  'spring-coils',
  'spring-solid',
  'spring-clearance',
  'reference-outside-stroke',
  'set-outside-stroke',
  'set-spring-outside',
  'valid-order',
  'scale-flat',
  'scale-missing',
  'scale-misfit',
  'unit-misfit',
  'signal-doubled',
  'unknown-person',
  'no-channel',
  'rota-missing',
  'override-order',
  'ladder-order',
] as const;

/** What is accepted, yet worth a second look. Each has a file in `fixtures/sites/warned/`. */
export const WARNING_RULES = ['spring-index', 'spring-few-coils', 'set-spring-tight', 'reference-spring-outside'] as const;

export type FaultRule = (typeof FAULT_RULES)[number];
export type WarningRule = (typeof WARNING_RULES)[number];

/** The way to a key or value: `['conveyors', 0, 'chain', 'pitch_mm']`. */
export type SitePath = readonly (string | number)[];

/** What is wrong with a value, before its place in the file is looked up. */
export interface Complaint<Rule = FaultRule> {
  readonly path: SitePath;
  /** Whether the key itself is at fault, or the value it holds. */
  readonly at: 'key' | 'value';
  readonly rule: Rule;
  readonly message: string;
  readonly meant?: string;
}

/** A fault of a site file, as data; `format-fault.ts` prints it. */
export interface SiteFault {
  readonly file: string;
  /** Counted from 1. */
  readonly line: number;
  /** Counted from 1. */
  readonly column: number;
  /** Such as `conveyors[0].takeups[1].spring.solid_mm`; empty where the file as a whole is meant. */
  readonly key: string;
  readonly rule: FaultRule | WarningRule;
  readonly message: string;
  /** What was probably meant, where something near exists. */
  readonly meant?: string;
}

/** Whether a rule only asks for a second look. */
export function isWarning({ rule }: Complaint<FaultRule | WarningRule>): boolean {
  return WARNING_RULES.some((warning) => warning === rule);
}

/** A path as people write it: `conveyors[0].chain.pitch_mm`. */
export function keyOf(path: SitePath): string {
  return path.map((step, index) => (typeof step === 'number' ? `[${String(step)}]` : index === 0 ? step : `.${step}`)).join('');
}
