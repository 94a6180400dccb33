import { Type } from 'typebox';
import { DEFAULTS } from './defaults.js';
import { atLeastZero, byDefault, count, id, positive, section } from './schema-parts.js';
import { signal } from './schema-signal.js';

export const chain = section('The chain of the circuit.', {
  pitch_mm: positive('Nominal pitch, mm.'),
  pitches: count('Number of pitches in the circuit at the reference.'),
  repeat_pitches: count('The chain can only be shortened in multiples of this many pitches.'),
  connector_every_pitches: Type.Optional(
    count('A joining pin that comes out stands every so many pitches. Default: any joint can be parted.'),
  ),
  wear_limit_pct: positive('Elongation at which the chain is worn out, %.'),
  wear_at_reference_pct: Type.Optional(atLeastZero(byDefault('Elongation at the reference, %.', DEFAULTS.wearAtReferencePct))),
  expansion_per_c: Type.Optional(atLeastZero(byDefault('Thermal expansion of the chain, per °C.', DEFAULTS.expansionPerC))),
  track_expansion_per_c: Type.Optional(
    atLeastZero(byDefault('Growth of the track in the same zones, per °C; taken off.', DEFAULTS.trackExpansionPerC)),
  ),
  stiffness_kn: Type.Optional(positive('Stiffness EA of the chain, kN. Default: no elastic correction.')),
  min_tension_n: Type.Optional(positive('Least strand tension asked of the take-up, N. Default: none.')),
  max_tension_n: Type.Optional(positive('Most strand tension allowed at the take-up, N. Default: none.')),
});

export const carriers = section('The carriers on the chain. Default: the plan for shortening leaves them out.', {
  spacing_mm: positive('Distance from carrier to carrier, mm.'),
  min_spacing_mm: positive('Least distance that still works, mm.'),
});

export const drive = section('How the drive runs. Default: one way.', {
  reversing: Type.Optional(Type.Boolean(byDefault('Whether the conveyor also runs backwards.', DEFAULTS.reversing))),
});

export const conveyorSignals = section('Signals of the conveyor as a whole; each is optional.', {
  running: Type.Optional(signal('Whether the conveyor runs: 1/0 or true/false. Without it the conveyor counts as always running.')),
  speed: Type.Optional(signal('Speed of the chain.')),
});

export const zone = section('A stretch of the path that has its own temperature.', {
  id: id('Name of the zone in topics and recordings.'),
  length_mm: positive('Length of chain in the zone, mm.'),
  reference_c: Type.Number({ description: 'Temperature at the reference, °C.' }),
  temperature: Type.Optional(signal('Temperature of the zone.')),
  lag_s: Type.Optional(atLeastZero(byDefault("The chain follows the zone's temperature so late, s.", DEFAULTS.lagS))),
});

export const ambient = section('The rest of the path, outside the zones. Default: it stays at its reference temperature.', {
  reference_c: Type.Number({ description: 'Temperature at the reference, °C.' }),
  temperature: Type.Optional(signal('Temperature outside the zones.')),
});

const loadNPerM = Type.Optional(atLeastZero(byDefault('Moving load, N per metre of chain.', DEFAULTS.loadNPerM)));
const friction = Type.Optional(atLeastZero(byDefault('Coefficient of friction.', DEFAULTS.segmentFriction)));

/** One stretch of the path: exactly one of the three forms. */
export const segment = Type.Union(
  [
    section('A straight stretch.', {
      straight: section('A straight stretch.', {
        length_mm: positive('Length along the chain, mm.'),
        rise_mm: Type.Optional(Type.Number(byDefault('How far it rises, mm; falls are negative.', DEFAULTS.straightRiseMm))),
        load_n_per_m: loadNPerM,
        friction,
      }),
    }),
    section('A curve.', {
      curve: section('A curve.', {
        angle_deg: positive('Angle of the curve, degrees.'),
        radius_mm: Type.Optional(atLeastZero(byDefault('Radius of the curve, mm.', DEFAULTS.curveRadiusMm))),
        load_n_per_m: loadNPerM,
        friction,
      }),
    }),
    section('The drive.', { drive: section('The drive; it takes no keys.', {}) }),
  ],
  { description: 'Each stretch is exactly one of straight, curve and drive.' },
);
