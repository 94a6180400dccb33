import { formatNumber, toShown, unitOf, type DisplayKind, type UnitSystem } from '../../../agent/units/display.js';

/** Units in which the agent writes sentences, and how each is shown. */
const WRITTEN: readonly (readonly [unit: string, kind: DisplayKind])[] = [
  ['mm', 'travel'],
  ['N', 'force'],
  ['°C', 'temperature'],
];
const MEASURE = /(?<![\w.])([-\u2212]?\d+(?:\.\d+)?)([ \u00a0])(mm|N|°C)(?![\w/])/g;

/**
 * A sentence of the agent with its lengths, forces and temperatures in the units that a person reads. The agent writes mm, N and °C,
 * always with a point and a space.
 */
export function textInUnits(text: string, units: UnitSystem): string {
  if (units === 'metric') return text;
  return text.replace(MEASURE, (_, number: string, space: string, unit: string) => {
    const kind = WRITTEN.find(([name]) => name === unit)?.[1] ?? 'travel';
    const written = number.replace('\u2212', '-');
    const decimals = (written.split('.')[1]?.length ?? 0) + (kind === 'travel' ? 1 : 0);
    return `${formatNumber(toShown(kind, Number(written), units), decimals)}${space}${unitOf(kind, units)}`;
  });
}
