import { describe, expect, it } from 'vitest';
import { calibrate, scaled, scaleYaml } from '../../../../web/client/logic/calibration.js';

describe('two readings at two measured places', () => {
  it('give the scale of the site file, whichever was taken first', () => {
    const outcome = calibrate({ raw: 20, is: 230 }, { raw: 4, is: 0 });
    expect(outcome).toEqual({ ok: true, scale: { from: [4, 20], to: [0, 230] } });
    if (outcome.ok) expect(scaleYaml(outcome.scale)).toBe('scale: { from: [4, 20], to: [0, 230] }');
  });

  it('say where the carriage stands by the new scale', () => {
    expect(scaled({ from: [4, 20], to: [0, 230] }, 12)).toBe(115);
    expect(scaled({ from: [0, 10], to: [100, 0] }, 12)).toBe(-20);
  });

  it('give none where they are too much alike, or at one place', () => {
    expect(calibrate({ raw: 12, is: 10 }, { raw: 12.1, is: 200 })).toMatchObject({ ok: false });
    expect(calibrate({ raw: 4, is: 10 }, { raw: 20, is: 10 })).toMatchObject({ ok: false });
  });

  it('may fall while the carriage goes out', () => {
    expect(calibrate({ raw: 10, is: 0 }, { raw: 0, is: 100 })).toEqual({ ok: true, scale: { from: [0, 10], to: [100, 0] } });
  });
});
