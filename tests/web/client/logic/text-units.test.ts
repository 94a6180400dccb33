import { describe, expect, it } from 'vitest';
import { textInUnits } from '../../../../web/client/logic/text-units.js';

describe('a sentence of the agent', () => {
  it('is in the units of who reads it', () => {
    const text = 'The carriage moved 76.1 mm inwards over 2 pitches; the strand lost 445 N at 20 °C.';
    expect(textInUnits(text, 'imperial')).toBe('The carriage moved 3.00 in inwards over 2 pitches; the strand lost 100 lbf at 68 °F.');
    expect(textInUnits(text, 'metric')).toBe(text);
  });

  it('leaves rates and words alone', () => {
    expect(textInUnits('18 N/mm, 3 Nuts, v1.5 mm-wave', 'imperial')).toBe('18 N/mm, 3 Nuts, v1.5 mm-wave');
  });
});
