import { formatNumber, showText, type DisplayKind, type UnitSystem } from '../../units/display.js';
import type { AlarmKey } from '../alarm-key.js';
import type { Occurrence } from './occurrence.js';

/** What the value of an alarm is of, as a person says it. */
const OF_WHAT: Readonly<Record<AlarmKey, string>> = {
  'spring-solid': 'spring length',
  'spring-near-solid': 'spring length',
  'spring-slack': 'spring compression',
  'stroke-end': 'remaining travel',
  'stroke-low': 'remaining travel',
  'stroke-date': 'time to stroke-out',
  'slack-date': 'time until the springs are slack',
  'tension-low': 'strand tension',
  'tension-high': 'strand tension',
  'carriage-skew': 'skew',
  'carriage-stuck': 'share of its usual breathing',
  'carriage-jump': 'move, outwards positive',
  'change-unrecorded': 'move, outwards positive',
  'wear-fast': 'rate of wear over the rate before',
  'wear-limit': 'elongation',
  'wear-limit-near': 'elongation',
  'signal-lost': 'silent for',
  'signal-fault': 'reading',
  'signal-doubtful': 'reading',
  'agent-silent': 'silent for',
  'page-unanswered': 'unanswered for',
};

const KINDS: Readonly<Record<string, DisplayKind>> = { mm: 'travel', N: 'force', '%': 'elongation' };

/** What is seen, in the site's units: `spring length 150.6 mm, limit 151.0 mm`. */
export function figureWords({ alarm, value, limit, unit }: Occurrence, units: UnitSystem): string {
  // An agent that took its leave is known to be gone before its silence has lasted.
  if (alarm === 'agent-silent' && value === 0) return 'the agent has ended';
  const seen = value === null ? 'value not known' : `${OF_WHAT[alarm]} ${inUnits(value, unit, units)}`;
  return limit === null ? seen : `${seen}, limit ${inUnits(limit, unit, units)}`;
}

/** Days, seconds and ratios are the same in every system; what a sensor sends raw is shown as it came. */
function inUnits(value: number, unit: string, units: UnitSystem): string {
  const kind = KINDS[unit];
  if (kind !== undefined) return showText(kind, value, units);
  const text = formatNumber(value, Number.isInteger(value) ? 0 : 2);
  return unit === 'ratio' ? text : `${text}\u00a0${unit}`;
}
