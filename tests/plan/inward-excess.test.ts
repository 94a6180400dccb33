import { expect, it } from 'vitest';
import { coldContractionMm, inwardExcess } from '../../agent/plan/inward-excess.js';

it('the room needed inwards is breathing, cold and reversing together', () => {
  expect(inwardExcess(4, 10, 6)).toEqual({ breathingMm: 4, coldContractionMm: 10, reversingDrawInMm: 6, besidesMm: 0, totalMm: 20 });
});

it('a person may ask for more room than follows from the take-up', () => {
  expect(inwardExcess(4, 10, 6, 15)).toMatchObject({ besidesMm: 15, totalMm: 35 });
});

it('a warm chain draws the carriage in by its share of the heat when it cools, a cold one does not', () => {
  expect(coldContractionMm(70, 1 / 2)).toBe(35);
  expect(coldContractionMm(-12, 1 / 2)).toBe(0);
});
