import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  celsiusToFahrenheit,
  fahrenheitToCelsius,
  inchesToMm,
  metresToFeet,
  mmToFeet,
  mmToInches,
  newtonsToPounds,
  poundsToNewtons,
  ratePerMmToPerInch,
} from '../../agent/units/convert.js';

describe('conversion', () => {
  // NIST Special Publication 811, appendix B.8: factors in bold are exact.
  it('has the exact factors of NIST SP 811', () => {
    expect(inchesToMm(1)).toBe(25.4);
    expect(poundsToNewtons(1)).toBeCloseTo(4.4482216152605, 12);
    expect(mmToFeet(304.8)).toBeCloseTo(1, 12);
    expect(metresToFeet(0.3048)).toBeCloseTo(1, 12);
  });

  // NIST SP 811, appendix B.8: 1 lbf/in = 175.1268 N/m.
  it('turns a spring rate', () => {
    expect(ratePerMmToPerInch(0.1751268)).toBeCloseTo(1, 6);
  });

  it.each([
    [-40, -40],
    [0, 32],
    [100, 212],
  ])('%d °C is %d °F', (celsius, fahrenheit) => {
    expect(celsiusToFahrenheit(celsius)).toBe(fahrenheit);
    expect(fahrenheitToCelsius(fahrenheit)).toBeCloseTo(celsius, 12);
  });

  it('comes back from where it went', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), (value) => {
        expect(inchesToMm(mmToInches(value))).toBeCloseTo(value, 6);
        expect(poundsToNewtons(newtonsToPounds(value))).toBeCloseTo(value, 6);
        expect(fahrenheitToCelsius(celsiusToFahrenheit(value))).toBeCloseTo(value, 6);
      }),
    );
  });
});
