import { describe, expect, it } from 'vitest';
import { formatNumber, show, showRange, showText, toShown, unitOf } from '../../agent/units/display.js';

describe('a number for a person', () => {
  it('is a tenth of a millimetre of travel, or a hundredth of an inch', () => {
    expect(show('travel', 38.44, 'metric')).toEqual({ value: '38.4', unit: 'mm' });
    expect(show('travel', 38.44, 'imperial')).toEqual({ value: '1.51', unit: 'in' });
  });

  it('is rougher where it is read from across the floor', () => {
    expect(show('travel-rough', 38.44, 'metric').value).toBe('38');
    expect(show('travel-rough', 38.44, 'imperial').value).toBe('1.5');
  });

  it('gives wear in thousandths of an inch and a tenth of one', () => {
    expect(show('wear', 0.254, 'imperial')).toEqual({ value: '0.0100', unit: 'in' });
  });

  it('keeps its unit on the same line', () => {
    expect(showText('force', 1278.4, 'metric')).toBe('1278\u00a0N');
    expect(showText('force', 1278.4, 'imperial')).toBe('287\u00a0lbf');
    expect(showRange('travel', 31, 44.5, 'metric')).toBe('31.0 to 44.5\u00a0mm');
  });

  it('has the same unit in a table as beside the number', () => {
    expect(unitOf('temperature', 'imperial')).toBe(show('temperature', 20, 'imperial').unit);
    expect(toShown('temperature', 20, 'imperial')).toBe(68);
  });
});

describe('a written number', () => {
  it('has a point, no mark between thousands, and a true minus', () => {
    expect(formatNumber(12_345.678, 1)).toBe('12345.7');
    expect(formatNumber(-6.25, 1)).toBe('\u22126.3');
  });

  it('has no sign when it rounds to nothing', () => {
    expect(formatNumber(-0.04, 1)).toBe('0.0');
    expect(formatNumber(-0, 0)).toBe('0');
  });
});
