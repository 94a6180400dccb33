import { Type } from 'typebox';

const value = Type.Union(
  [Type.Number(), Type.Boolean(), Type.String({ pattern: '^\\s*[+-]?(\\d+\\.?\\d*|\\.\\d+)([eE][+-]?\\d+)?\\s*$' })],
  {
    description: 'The raw value in the unit that the site file gives the signal; true and false are 1 and 0. A number may stand in quotes.',
  },
);

/** A reading as it comes by the default topics, where the site file says nothing else of its payload. */
export const reading = Type.Union(
  [
    value,
    Type.Object(
      {
        value,
        time: Type.Optional(
          Type.Union([Type.String(), Type.Number()], {
            description:
              'When it was made: ISO 8601 with an offset, or milliseconds since 1970-01-01T00:00:00Z. Absent: when it arrived. With a ' +
              'time of its own a reading may wait at the broker and be delivered again.',
          }),
        ),
      },
      { description: 'A value and its time; further keys are passed over.' },
    ),
  ],
  { description: 'A bare number, or a JSON object with value and time.' },
);

/** A payload that the site file reads by its pointers. */
export const ownPayload = Type.Unknown({
  description:
    'Any JSON: `pointer` and `time_pointer` of the site file (RFC 6901) say where value and time are. One payload may feed several signals.',
});
