import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { decoderOf } from '../../../agent/flow/reading/decode.js';

const ARRIVAL = 1_767_592_800_000;
const plain = decoderOf({});
const taken = (timeMs: number, raw: number): unknown => ({ ok: true, timeMs, raw });

describe('a bare payload', () => {
  test.each([
    ['41.25', 41.25],
    ['-3', -3],
    ['+5', 5],
    ['.5', 0.5],
    ['5.', 5],
    ['1.2e-3', 0.0012],
    [' 12.5\r\n', 12.5],
    ['true', 1],
    ['false', 0],
    ['"12.5"', 12.5],
  ])('%j is a reading of the moment it arrived', (payload, raw) => {
    expect(plain(payload, ARRIVAL)).toEqual(taken(ARRIVAL, raw));
  });

  test.each([
    'NaN',
    'nan',
    'inf',
    '-Infinity',
    '0x10',
    '',
    '   ',
    '1e999',
    '1,5',
    '12 mm',
    'null',
    '[41]',
    '"NaN"',
    '"0x10"',
    '""',
    '1_000',
  ])('%j is no finite decimal: a reading that was not a number, at the moment it arrived', (payload) => {
    expect(plain(payload, ARRIVAL)).toMatchObject({ ok: false, attributed: true, timeMs: ARRIVAL });
  });
});

describe('a payload of value and time', () => {
  test.each([
    ['{"value":41.25}', ARRIVAL],
    ['{"value":41.25,"time":"2026-01-05T07:00:01+01:00"}', ARRIVAL + 1000],
    ['{"value":41.25,"time":1767592801500}', ARRIVAL + 1500],
    ['{"value":"41.25","time":"1767592801500"}', ARRIVAL + 1500],
    ['{"value":41.25,"time":1767592801499.6}', ARRIVAL + 1500],
    ['{"unit":"mm","value":41.25,"quality":{"value":1}}', ARRIVAL],
  ])('%s gives the reading its own time', (payload, timeMs) => {
    expect(plain(payload, ARRIVAL)).toEqual(taken(timeMs, 41.25));
  });

  test.each([
    '{"value":1,"time":"yesterday"}',
    '{"value":1,"time":"2026-01-05T07:00:01"}',
    '{"value":1,"time":null}',
    '{"value":1,"time":true}',
    '{"value":1,"time":1e300}',
    '{"value":1,"time":-1e300}',
    '{"value":1,"time":1767592801500000}',
  ])('%s says a time that is none: no time is guessed in its place', (payload) => {
    expect(plain(payload, ARRIVAL)).toMatchObject({ ok: false, attributed: false });
  });

  test.each([
    '{"time":"2026-01-05T06:00:01Z"}',
    '{"value":null,"time":"2026-01-05T06:00:01Z"}',
    '{"value":{},"time":"2026-01-05T06:00:01Z"}',
  ])('%s counts as a reading that was not a number, at its own time', (payload) => {
    expect(plain(payload, ARRIVAL)).toMatchObject({ ok: false, attributed: true, timeMs: ARRIVAL + 1000 });
  });
});

describe('a payload with the pointers of the site', () => {
  const decode = decoderOf({ pointer: '/left/travel', timePointer: '/stamp/at' });
  const arrival = decoderOf({ pointer: '/left/travel' });

  it('gives value and time from where they stand', () => {
    expect(decode('{"left":{"travel":"41.25"},"stamp":{"at":"2026-01-05T06:00:01Z"}}', ARRIVAL)).toEqual(taken(ARRIVAL + 1000, 41.25));
  });

  it('is of the moment it arrived where the site names no time, whatever the payload holds beside it', () => {
    expect(arrival('{"left":{"travel":true},"time":1}', ARRIVAL)).toEqual(taken(ARRIVAL, 1));
  });

  it('without the time that the site asks for is refused', () => {
    expect(decode('{"left":{"travel":41.25}}', ARRIVAL)).toMatchObject({ ok: false, attributed: false });
    expect(decode('41.25', ARRIVAL)).toMatchObject({ ok: false, attributed: false });
  });

  it('without the value is a reading that was not a number', () => {
    expect(decode('{"right":{"travel":41.25},"stamp":{"at":"2026-01-05T06:00:01Z"}}', ARRIVAL)).toMatchObject({
      ok: false,
      attributed: true,
      timeMs: ARRIVAL + 1000,
    });
    expect(arrival('41.25', ARRIVAL)).toMatchObject({ ok: false, attributed: true });
  });

  it('may be the whole document', () => {
    expect(decoderOf({ pointer: '' })('41.25', ARRIVAL)).toEqual(taken(ARRIVAL, 41.25));
  });
});

describe('any payload at all', () => {
  const pointer = fc.constantFrom(undefined, '', '/value', '/a/0', '/~1');
  const payload = fc.oneof(
    fc.string(),
    fc.string({ unit: 'binary' }),
    fc.json(),
    fc.double().map(String),
    fc.record({ value: fc.jsonValue(), time: fc.jsonValue() }).map((value) => JSON.stringify(value)),
    fc.record({ value: fc.double(), time: fc.double() }).map((value) => JSON.stringify(value)),
  );

  it('gives a finite number at a moment of the years 0000 to 9999, or says why it gives none', () => {
    fc.assert(
      fc.property(payload, pointer, pointer, (text, valueAt, timeAt) => {
        const decode = decoderOf({
          ...(valueAt === undefined ? {} : { pointer: valueAt }),
          ...(timeAt === undefined ? {} : { timePointer: timeAt }),
        });
        const decoded = decode(text, ARRIVAL);
        expect(Number.isInteger(decoded.timeMs)).toBe(true);
        expect(Math.abs(new Date(decoded.timeMs).getUTCFullYear() - 5000)).toBeLessThanOrEqual(5000);
        if (decoded.ok) expect(Number.isFinite(decoded.raw)).toBe(true);
        else expect(decoded.why).not.toBe('');
      }),
      { numRuns: 2000 },
    );
  });
});
