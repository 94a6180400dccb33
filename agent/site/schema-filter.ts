import { Type } from 'typebox';
import { section } from './schema-parts.js';

/** How readings are filtered and when a position counts as settled (mechanics §5). What is left out stays as it is usual. */
export const filter = section('How readings are filtered, for the whole site; tried out on the bench. Default: as is usual.', {
  spike_k: Type.Optional(
    Type.Number({
      description: 'A reading so many spreads from the median of its seven is a spike. Default 3.',
      minimum: 0.5,
      maximum: 100,
    }),
  ),
  smoothing_s: Type.Optional(
    Type.Number({ description: 'Time constant of the smoothing, s. Default 30.', exclusiveMinimum: 0, maximum: 86_400 }),
  ),
  window_min: Type.Optional(
    Type.Number({ description: 'A position settles over so many minutes of running. Default 10.', minimum: 1, maximum: 1440 }),
  ),
  fewest_readings: Type.Optional(
    Type.Integer({ description: '…and over so many readings at least. Default 15.', minimum: 2, maximum: 700 }),
  ),
  jump_mm: Type.Optional(
    Type.Number({
      description: 'A stretch whose halves lie so far apart has not settled, mm. Default 4.',
      exclusiveMinimum: 0,
      maximum: 1000,
    }),
  ),
});
