/** How large a ruler is drawn: in a row of the floor, in a row with room, or alone. */
export type RulerSize = 'row' | 'tall' | 'large';

/** Lengths in px. */
export interface RulerMetrics {
  readonly height: number;
  readonly margin: number;
  readonly railTop: number;
  readonly rail: number;
  readonly stop: number;
  /** How far stops and marks reach beyond the rail. */
  readonly overhang: number;
  readonly tick: number;
  readonly letter: number;
  /** Least distance of labels on the scale. */
  readonly labelEvery: number;
  readonly carriage: number;
  readonly knob: number;
}

export const RULER_SIZES: Readonly<Record<RulerSize, RulerMetrics>> = {
  row: { height: 70, margin: 12, railTop: 19, rail: 30, stop: 8, overhang: 4, tick: 7, letter: 11, labelEvery: 64, carriage: 9, knob: 7 },
  tall: {
    height: 104,
    margin: 14,
    railTop: 24,
    rail: 52,
    stop: 10,
    overhang: 6,
    tick: 10,
    letter: 13,
    labelEvery: 80,
    carriage: 12,
    knob: 9,
  },
  large: {
    height: 126,
    margin: 18,
    railTop: 30,
    rail: 62,
    stop: 12,
    overhang: 8,
    tick: 12,
    letter: 15,
    labelEvery: 90,
    carriage: 16,
    knob: 12,
  },
};
