import { Type } from 'typebox';
import { DEFAULTS } from './defaults.js';
import { byDefault, pair, POINTER_PATTERN, positive, section, TOPIC_PATTERN } from './schema-parts.js';

/** The units a signal's raw value may be in. */
const RAW_UNITS = ['mm', 'in', 'cm', 'm', 'mA', 'V', 'percent', 'counts', 'C', 'F', 'm/min', 'ft/min'] as const;

function pointer(description: string) {
  return Type.String({ description, pattern: POINTER_PATTERN });
}

/** One measured signal; `{}` takes every default. `measured` says which one, for the description. */
export function signal(measured: string) {
  return section(`${measured} Every key is optional; {} takes all defaults.`, {
    topic: Type.Optional(
      Type.String({
        description: "MQTT topic of the readings. Default takeline/<site>/in/<name>, the name being the signal's path in the site.",
        pattern: TOPIC_PATTERN,
      }),
    ),
    pointer: Type.Optional(
      pointer('JSON Pointer (RFC 6901) to the value in a JSON payload. Default: the payload is a bare number, or {"value": …, "time": …}.'),
    ),
    time_pointer: Type.Optional(
      pointer("JSON Pointer to the reading's own time, ISO 8601 with offset or milliseconds since 1970. Default: the time of arrival."),
    ),
    unit: Type.Optional(
      Type.Enum(RAW_UNITS, {
        description:
          'Unit of the raw value. Default mm for position and spring, C for temperature, m/min for speed. mA without valid takes the NE 43 fault bands.',
      }),
    ),
    scale: Type.Optional(
      section('Two-point calibration from raw to mm, °C or m/min. Default: none; mA, V, percent and counts need one.', {
        from: pair('Two raw values, in the unit of the signal.'),
        to: pair('What they stand for, in mm, °C or m/min.'),
      }),
    ),
    valid: Type.Optional(
      pair('Lowest and highest value that can be true, in mm, °C or m/min; a reading outside is a fault. Default: no such range.'),
    ),
    period_s: Type.Optional(
      positive(
        byDefault(
          'Expected interval of the readings, s; after 10 of them without a reading, at least 30 s, the signal is lost.',
          DEFAULTS.periodS,
        ),
      ),
    ),
    resolution_mm: Type.Optional(positive('Smallest step of the sensor, mm (°C, m/min). Default: learned from the readings.')),
  });
}
