import { pitchesText } from '../../../agent/plan/removal-words.js';
import { formatNumber, showText, type UnitSystem } from '../../../agent/units/display.js';
import { localTime } from '../../../agent/units/local-time.js';
import type { ConveyorAnswer, SiteAnswer, TakeupAnswer } from '../../server/logic/site-answer.js';
import { alarmWords } from './alarm-words.js';
import { textInUnits } from './text-units.js';

/** A name and what is read for it. */
export type ReadLine = readonly [name: string, text: string];

/** In which words what is read is told. */
export interface Reader {
  readonly system: UnitSystem;
  readonly timezone: string;
}

const NONE = 'not given';

/** What the site file says of a conveyor, every default filled in. */
export function conveyorLines(
  { chain, carriers, drive, running, zones, ambient, path }: ConveyorAnswer,
  { system }: Reader,
): readonly ReadLine[] {
  const per = (coefficient: number): string => (coefficient === 0 ? 'none' : `${coefficient.toExponential(2)} a °C`);
  const force = (newtons: number | undefined): string => (newtons === undefined ? NONE : showText('force', newtons, system));
  return [
    ['Pitch', showText('travel', chain.pitchMm, system)],
    ['Pitches in the circuit at the reference', String(chain.pitches)],
    ['Length then', showText('chain-length', chain.pitches * chain.pitchMm, system)],
    ['Shortened in multiples of', pitchesText(chain.repeatPitches)],
    ['Connectors', chain.connectorEveryPitches === undefined ? NONE : `one every ${chain.connectorEveryPitches} pitches`],
    [
      'Wear limit, and wear at the reference',
      `${formatNumber(chain.wearLimitPct, 2)}\u00a0%, ${formatNumber(chain.wearAtReferencePct, 2)}\u00a0%`,
    ],
    ['Growth of the chain, of the track', `${per(chain.expansionPerC)}, ${per(chain.trackExpansionPerC)}`],
    ['Stiffness EA', chain.stiffnessKn === undefined ? 'not given: stretch under load is not taken off' : `${chain.stiffnessKn} kN`],
    ['Least and greatest strand tension', `${force(chain.minTensionN)}, ${force(chain.maxTensionN)}`],
    [
      'Carriers',
      carriers === undefined
        ? NONE
        : `${showText('travel', carriers.spacingMm, system)} apart, at least ${showText('travel', carriers.minSpacingMm, system)}`,
    ],
    ['Drive', drive.reversing ? 'reversing' : 'one way'],
    ['Running', running === undefined ? 'no signal: counts as always running' : `signal ${running.name}`],
    ...zones.map(({ id, lengthMm, referenceC, lagS }): ReadLine => [
      `Zone ${id}`,
      `${showText('chain-length', lengthMm, system)}, reference ${showText('temperature', referenceC, system)}, the chain follows ${lagS} s late`,
    ]),
    ['Rest of the path', ambient === undefined ? 'no temperature' : `reference ${showText('temperature', ambient.referenceC, system)}`],
    ['Path', path.length === 0 ? 'not given: no tension around the loop' : `${path.length} ${path.length === 1 ? 'stretch' : 'stretches'}`],
  ];
}

/** What the site file says of a take-up, and what follows from it. */
export function takeupLines(
  { location, wrapDeg, gain, strokeMm, spring, nutLeadMm, reference, sides }: TakeupAnswer,
  reader: Reader,
): readonly ReadLine[] {
  const { system, timezone } = reader;
  const length = (mm: number): string => showText('travel', mm, system);
  const when = (ms: number): string => {
    const { date, minutes } = localTime(ms, timezone);
    return `${date} ${minutes}`;
  };
  return [
    ['Where', location],
    ['Wrap, and chain taken up by a move', `${wrapDeg}°, ${formatNumber(gain, 3)} times the move`],
    ['Stroke', length(strokeMm)],
    ['Springs a side', `${spring.perSide}${spring.wire === undefined ? '' : ', worked out from the wire'}`],
    ['Free, shortest usable, solid', `${length(spring.freeMm)}, ${length(spring.solidMm + spring.clearanceMm)}, ${length(spring.solidMm)}`],
    ['Rate of one spring', showText('spring-rate', spring.rateNPerMm, system)],
    ['Lead of the nuts', nutLeadMm === undefined ? NONE : length(nutLeadMm)],
    ['Reference', `${length(reference.positionMm)} on ${when(reference.atMs)}`],
    ...(['left', 'right'] as const).map((side): ReadLine => {
      const { set, spring: own } = sides[side];
      const followed = own === undefined ? 'followed from the carriage' : 'by a sensor of its own';
      return [`Spring, ${side}`, `${length(set.springMm)} at ${length(set.positionMm)}, set ${when(set.atMs)}; ${followed}`];
    }),
  ];
}

/** The set-points of a take-up's alarms as they are in force, the site's own marked. */
export function setPointLines({ setPoints, limits }: TakeupAnswer, alarms: SiteAnswer['alarms'], { system }: Reader): readonly ReadLine[] {
  return alarms.flatMap(({ alarm, unit }): readonly ReadLine[] => {
    const point = setPoints[alarm];
    if (point === undefined) return [];
    const text = textInUnits(`${String(Number(point.toFixed(2)))} ${unit === 'ratio' ? 'times' : unit}`, system);
    return [[alarmWords(alarm), `${text}${limits[alarm] === undefined ? '' : ', the site’s own'}`]];
  });
}
