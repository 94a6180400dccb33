import { Type, type TSchema } from 'typebox';
import { DEFAULTS } from './defaults.js';
import {
  ALARM_PRIORITIES,
  COMMON_LIMIT_FIELDS,
  LIMIT_FIELDS,
  LIMIT_KEYS,
  TERM_FIELDS,
  type AlarmPriority,
  type LimitKey,
} from './limit-fields.js';
import { atLeastZero, byDefault, count, id, instant, positive, section, words } from './schema-parts.js';
import { signal } from './schema-signal.js';

const freeMm = positive('Free length, mm.');
const perSide = Type.Optional(count(byDefault('Equal springs in parallel on each side.', DEFAULTS.springsPerSide)));

const springByMaker = section("A spring by its maker's data.", {
  free_mm: freeMm,
  rate_n_per_mm: positive('Spring rate, N/mm.'),
  solid_mm: positive('Solid length, coils touching, mm.'),
  clearance_mm: atLeastZero('Sum of the least coil clearances, mm: solid + clearance is the shortest usable length.'),
  per_side: perSide,
});

const springByWire = section('A spring by its wire (EN 13906-1): rate, solid length and clearance follow.', {
  free_mm: freeMm,
  wire_mm: positive('Diameter of the wire, the largest that its tolerance allows, mm.'),
  mean_diameter_mm: positive('Mean diameter of the coils, mm.'),
  active_coils: positive('Number of active coils.'),
  total_coils: positive('Number of coils in all.'),
  shear_modulus_mpa: Type.Optional(positive(byDefault('Shear modulus of the wire, MPa.', DEFAULTS.shearModulusMpa))),
  ends: Type.Enum(['ground', 'unground'], { description: 'Whether the end coils are ground flat.' }),
  coiled: Type.Optional(Type.Enum(['cold', 'hot'], byDefault('How the spring was coiled.', DEFAULTS.coiled))),
  load: Type.Optional(
    Type.Enum(['static', 'dynamic'], byDefault('How the spring is loaded; dynamic asks for more clearance.', DEFAULTS.load)),
  ),
  clearance_mm: Type.Optional(atLeastZero('Sum of the least coil clearances, mm. Default: S_a of EN 13906-1.')),
  per_side: perSide,
});

export const spring = Type.Union([springByMaker, springByWire], {
  description:
    "A spring is given either by its maker's data (rate_n_per_mm, solid_mm, clearance_mm) or by its wire (wire_mm, mean_diameter_mm, active_coils, total_coils, ends).",
});

const side = section('One side of the carriage.', {
  position: Type.Optional(signal('Position of this side of the carriage, outwards from the inner stop.')),
  spring: Type.Optional(signal("Length of this side's spring from its own sensor. Default: followed from the carriage.")),
  set: section('Where this side stood and how long its spring was when the nut was last set.', {
    at: instant('When the nut was set.'),
    position_mm: atLeastZero('Position of this side then, mm.'),
    spring_mm: positive('Length of the spring then, mm.'),
  }),
});

/** Set-points are numbers; `TermsOfFile` says what the rest is. */
type LimitsOfFile = Partial<Record<LimitKey, Readonly<Record<string, number | string | boolean>>>>;

/** What stands under one alarm of `limits:` beside its set-points. */
export interface TermsOfFile {
  readonly priority?: AlarmPriority;
  readonly consequence?: string;
  readonly action?: string;
  readonly respond_within_min?: number;
  readonly latch?: boolean;
}

const terms = {
  priority: Type.Optional(Type.Enum([...ALARM_PRIORITIES], { description: sentence(TERM_FIELDS.priority) })),
  consequence: Type.Optional(words(sentence(TERM_FIELDS.consequence))),
  action: Type.Optional(words(sentence(TERM_FIELDS.action))),
  respond_within_min: Type.Optional(count(sentence(TERM_FIELDS.respond_within_min))),
  latch: Type.Optional(Type.Boolean({ description: sentence(TERM_FIELDS.latch) })),
} satisfies Record<keyof typeof TERM_FIELDS, TSchema>;

function limitSchema(key: LimitKey): TSchema {
  const fields = [...LIMIT_FIELDS[key], ...COMMON_LIMIT_FIELDS];
  return Type.Optional(
    section(`Set-points and terms of the alarm ${key}. Default: as in the alarm list.`, {
      ...Object.fromEntries(fields.map(({ name, unit, what }) => [name, Type.Optional(atLeastZero(`${sentence(what)} Unit: ${unit}.`))])),
      ...terms,
    }),
  );
}

function sentence(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}

/** Built from the table of set-points, so that an alarm added there can be overridden here; hence the type beside it. */
const limits = Type.Unsafe<LimitsOfFile>(
  section(
    'Set-points, priority and words of the alarms of this take-up that differ from the defaults of the alarm list, by alarm.',
    Object.fromEntries(LIMIT_KEYS.map((key) => [key, limitSchema(key)])),
  ),
);

export const takeup = section('A sprung take-up.', {
  id: id('Name of the take-up in topics and recordings.'),
  location: words('Where it hangs, as the person who is called out needs to read it.'),
  wrap_deg: Type.Number({
    description: 'Wrap angle of the chain on the carriage curve, degrees; 180 turns the chain back.',
    exclusiveMinimum: 0,
    exclusiveMaximum: 360,
  }),
  turn_friction: Type.Optional(
    atLeastZero(byDefault('c: the strand leaves the turn at (1 + c) times the tension it enters with.', DEFAULTS.turnFriction)),
  ),
  stroke_mm: positive('Whole travel of the carriage from inner to outer stop, mm.'),
  spring,
  nut_lead_mm: Type.Optional(positive("Lead of the adjusting nut's thread, mm a turn. Default: nut turns are not worked out.")),
  reference: section('What was read when the chain length was taken as known.', {
    at: instant('When the reference was taken.'),
    position_mm: atLeastZero('Position of the carriage while running, every zone at its reference_c and the springs as in set, mm.'),
  }),
  sides: section('The two sides of the carriage.', { left: side, right: side }),
  limits: Type.Optional(limits),
});
