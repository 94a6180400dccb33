import type { Figure, SideNow, SpringNow } from '../../../agent/contract/messages.js';
import type { Spring } from '../../../agent/site/site.js';
import { numberOf } from './figure.js';

/**
 * The length of a side's spring as its carriage was last read. A spring without a sensor of its own is followed from the
 * carriage (mechanics §3: L = L_set + x − x_set), so it is as far from its smoothed length as the carriage from its own.
 *
 * @param hasSensor - the spring's length is measured: then only the smoothed length is told
 */
export function springNow(
  side: Pick<SideNow, 'readingMm' | 'positionMm' | 'springMm'> | undefined,
  hasSensor: boolean,
): Figure | undefined {
  const [reading, smoothed, length] = [side?.readingMm, side?.positionMm, side?.springMm].map(numberOf);
  if (hasSensor || reading === undefined || smoothed === undefined || length === undefined) return side?.springMm;
  return length + reading - smoothed;
}

/** The spring that is drawn and held against: the one in force, or the site file's while nothing is heard. */
export function springInForce(side: Pick<SideNow, 'spring'> | undefined, ofSite: Spring): SpringNow {
  return side?.spring ?? { ...ofSite, ...(ofSite.wire === undefined ? {} : { totalCoils: ofSite.wire.totalCoils }) };
}
