import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { PRIORITIES } from '../../../agent/flow/alarm-key.js';

const CSS = readFileSync(new URL('../../../web/client/styles/tokens.css', import.meta.url), 'utf8');

type Tokens = ReadonlyMap<string, string>;

/** The colours of a rule, by their names; `selector` is what stands before its brace. */
function tokensOf(selector: string): Tokens {
  const [, rest = ''] = CSS.split(`${selector} {`);
  const [body = ''] = rest.split('}');
  return new Map([...body.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6})/g)].map(([, name = '', colour = '']) => [name, colour]));
}

/** Relative luminance and contrast ratio: WCAG 2.2, "relative luminance" and "contrast ratio" of its glossary. */
function luminance(colour: string): number {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const part = parseInt(colour.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}
function contrast(a: string, b: string): number {
  const [light = 0, dark = 0] = [luminance(a), luminance(b)].toSorted((x, y) => y - x);
  return (light + 0.05) / (dark + 0.05);
}

const LIGHT = tokensOf(':root');
const DARK = tokensOf(":root[data-theme='dark']");

describe('contrast', () => {
  // WCAG 2.2's own example: #777 on white is 4.48 to 1.
  it('is computed as the guideline has it', () => {
    expect(contrast('#777777', '#ffffff')).toBeCloseTo(4.48, 2);
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
  });

  describe.each([
    ['light', LIGHT],
    ['dark', DARK],
  ])('%s', (_, tokens) => {
    const ratio = (a: string, b: string) => contrast(tokens.get(a) ?? '', tokens.get(b) ?? '');
    const tints = PRIORITIES.map((priority) => `${priority}-tint`);

    it.each(['ground', 'sheet', ...tints])('words stand out from %s by 4.5 to 1 (WCAG 1.4.3)', (ground) => {
      expect(ratio('ink', ground)).toBeGreaterThanOrEqual(4.5);
      expect(ratio('ink-2', ground)).toBeGreaterThanOrEqual(4.5);
    });

    it.each(PRIORITIES)('words on the colour of %s, and on the banner, do too', (priority) => {
      expect(ratio(`${priority}-ink`, priority)).toBeGreaterThanOrEqual(4.5);
      expect(ratio('banner-ink', 'banner')).toBeGreaterThanOrEqual(4.5);
    });

    it.each(PRIORITIES)('the shape of %s stands out by 3 to 1 (WCAG 1.4.11)', (priority) => {
      for (const ground of ['sheet', 'ground', `${priority}-tint`]) expect(ratio(`${priority}-edge`, ground)).toBeGreaterThanOrEqual(3);
    });

    it('so do borders, the focus, the carriage on its rail and the stops', () => {
      for (const [mark, ground] of [
        ['rail-edge', 'sheet'],
        ['focus', 'ground'],
        ['focus', 'sheet'],
        ['carriage', 'rail'],
        ['carriage', 'band'],
        ['stop', 'rail'],
        ['mark', 'rail'],
      ]) {
        expect([mark, ground, ratio(mark ?? '', ground ?? '') >= 3]).toEqual([mark, ground, true]);
      }
    });
  });

  it('is the same whether the device or the reader chose dark', () => {
    expect(tokensOf(":root:not([data-theme='light'])")).toEqual(DARK);
  });
});
