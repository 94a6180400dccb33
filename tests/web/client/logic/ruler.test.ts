import { describe, expect, it } from 'vitest';
import { drawRuler } from '../../../../web/client/logic/ruler.js';
import { nowOf } from '../../a-takeup.js';

const TAKEUP = { strokeMm: 200, setPoints: { 'stroke-low': 40, 'stroke-end': 10 } };
/** Two px to the millimetre. */
const FRAME = { margin: 10, width: 400 };
const at = (mm: number) => 10 + 2 * mm;

describe('a ruler', () => {
  it('is to scale, from the inner stop at the left to the outer stop at the right', () => {
    const drawing = drawRuler(TAKEUP, nowOf({ positionMm: 100, dayRangeMm: [91, 104] }), FRAME);
    expect(drawing).toMatchObject({
      inner: at(0),
      outer: at(200),
      left: at(100.6),
      right: at(99.4),
      middle: at(100),
      band: { from: at(91), to: at(104) },
    });
  });

  it('draws the carriage where it was last read, and counts what is to come from where it stands smoothed', () => {
    const now = nowOf({ positionMm: 100 });
    const drawing = drawRuler(TAKEUP, { ...now, left: { ...now.left, readingMm: 120 }, trend: { travelMmPerDay: 1 } }, FRAME);
    expect(drawing).toMatchObject({ left: at(120), right: at(99.4), middle: at(100), future: [{ x: at(130) }, { x: at(190) }] });
  });

  it('has its zones where the set-points put them', () => {
    expect(drawRuler(TAKEUP, undefined, FRAME)).toMatchObject({
      lowZone: { from: at(160), to: at(190) },
      endZone: { from: at(190), to: at(200) },
    });
    expect(drawRuler({ strokeMm: 200, setPoints: {} }, undefined, FRAME)).not.toHaveProperty('endZone');
  });

  it('leaves out what is not known', () => {
    const lost = { unknown: 'signal-lost' } as const;
    const drawing = drawRuler(
      TAKEUP,
      { ...nowOf(), positionMm: lost, dayRangeMm: null, left: { readingMm: lost, positionMm: lost, springMm: lost, forceN: lost } },
      FRAME,
    );
    expect(drawing).not.toHaveProperty('left');
    expect(drawing).not.toHaveProperty('middle');
    expect(drawing).not.toHaveProperty('band');
    expect(drawing).toHaveProperty('right');
    expect(drawing.future).toEqual([]);
  });

  it('marks where the carriage will be in 30 and 90 days', () => {
    const drawing = drawRuler(TAKEUP, { ...nowOf({ positionMm: 100 }), trend: { travelMmPerDay: 0.5 } }, FRAME);
    expect(drawing.future).toEqual([
      { days: 30, x: at(115), beyond: false },
      { days: 90, x: at(145), beyond: false },
    ]);
  });

  it('ends the marks at the outer stop', () => {
    const drawing = drawRuler(TAKEUP, { ...nowOf({ positionMm: 150 }), trend: { travelMmPerDay: 2 } }, FRAME);
    expect(drawing.future).toEqual([{ days: 30, x: at(200), beyond: true }]);
  });

  it.each([null, 0, -0.4])('marks nothing to come for a carriage that does not go outwards (%s mm a day)', (travelMmPerDay) => {
    expect(drawRuler(TAKEUP, { ...nowOf({ positionMm: 150 }), trend: { travelMmPerDay } }, FRAME).future).toEqual([]);
  });

  it('shows a sensor that reads beyond a stop at the stop', () => {
    expect(drawRuler(TAKEUP, nowOf({ positionMm: 203 }), FRAME)).toMatchObject({ left: at(200), middle: at(200) });
  });
});
