import type { PlantScore } from './plant-score.js';
import type { Held } from './spread-plants.js';

const BEGIN = '<!-- score -->';
const END = '<!-- /score -->';

/** A row of the table, as it is read back. */
export interface KeptRow {
  readonly name: string;
  readonly cells: readonly string[];
}

/** The score as it is printed and kept: figures over all plants, then plant by plant. */
export function scoreTable(scores: readonly PlantScore[], held: readonly Held[]): string {
  return [overall(scores, held), '', byPlant(scores)].join('\n');
}

function overall(scores: readonly PlantScore[], held: readonly Held[]): string {
  const healthy = scores.filter(({ plant }) => plant.kind === 'healthy');
  const troubled = scores.filter(({ plant }) => plant.kind === 'troubled');
  const found = scores.flatMap((score) => score.found);
  const counts = found.flatMap(({ pitches }) => (pitches === undefined ? [] : [pitches]));
  const dates = scores.flatMap((score) => score.dates);
  const years = sum(healthy.map(({ plant }) => plant.days)) / 365.25;
  const troubledYears = sum(troubled.map(({ plant }) => plant.days)) / 365.25;
  const worst = (of: readonly PlantScore[], pick: (score: PlantScore) => number): string => points(Math.max(...of.map(pick)));
  const near = (offs: readonly number[]): string => share(offs.filter((off) => Math.abs(off) <= 0.1).length, offs.length);
  const spread = (offs: readonly number[]): string => `half within ${percent(middle(offs.map(Math.abs)))}`;
  const rows = [
    [
      'elongation, healthy plants: largest error of a day',
      '0.005 points',
      worst(healthy, (one) => one.elongation.worst),
      worst(healthy, (one) => one.elongation.naive),
    ],
    [
      'elongation, troubled plants: largest error of a day that has a value',
      '0.01 points',
      worst(troubled, (one) => one.elongation.worst),
      worst(troubled, (one) => one.elongation.naive),
    ],
    [
      'days of troubled plants that are marked as having no value',
      '',
      share(
        sum(troubled.map((one) => one.elongation.withoutValue)),
        sum(troubled.map((one) => one.elongation.withoutValue + one.elongation.days)),
      ),
      'none',
    ],
    [
      `false alarms and findings a plant-year, healthy (${years.toFixed(1)} plant-years)`,
      '0',
      (sum(healthy.map((one) => one.falseAlarms.length)) / years).toFixed(2),
      (sum(healthy.map((one) => one.naive.alarms)) / years).toFixed(0),
    ],
    [
      `the same in troubled plants (${troubledYears.toFixed(1)} plant-years)`,
      '',
      (sum(troubled.map((one) => one.falseAlarms.length)) / troubledYears).toFixed(2),
      (sum(troubled.map((one) => one.naive.alarms)) / troubledYears).toFixed(0),
    ],
    [
      'troubles found',
      'all',
      share(found.filter(({ key }) => key !== undefined).length, found.length),
      share(sum(scores.map(({ naive }) => naive.found)), found.length),
    ],
    ['found within the on-delay and one window', 'all', share(found.filter(({ inTime }) => inTime).length, found.length), 'a day later'],
    [
      'removals and insertions with their exact count of pitches',
      'all',
      share(counts.filter(({ told, asked }) => told === asked).length, counts.length),
      share(sum(scores.map(({ naive }) => naive.counts)), counts.length),
    ],
    [
      'stroke-out told within 10 % of the time left, once 60 days are seen',
      'all',
      near(dates.map(({ off }) => off)),
      near(dates.map(({ naiveOff }) => naiveOff)),
    ],
    [
      'stroke-out: error over the time left',
      '',
      `${spread(dates.map(({ off }) => off))}, worst ${percent(Math.max(...dates.map(({ off }) => Math.abs(off))))}`,
      spread(dates.map(({ naiveOff }) => naiveOff)),
    ],
    [
      `90 % interval of the rate of wear holds the rate at which it wore (${String(held.length)} plants)`,
      '85 to 95 %',
      percent(held.filter(({ worn }) => worn).length / held.length),
      percent(held.filter(({ naiveRate }) => naiveRate).length / held.length),
    ],
    [
      'the same interval holds the rate under the usual load, which those weeks may not have had',
      '',
      percent(held.filter(({ rate }) => rate).length / held.length),
      '',
    ],
  ];
  return markdown(['figure', 'aim', 'takeline', 'raw position, least squares'], rows);
}

/** One row a plant; the test of the kept table reads it back. */
export function plantRow({ plant, elongation, found, falseAlarms }: PlantScore): string[] {
  const told = found.map(({ what, key, inTime, pitches }) => {
    const count = pitches !== undefined && pitches.told !== pitches.asked ? `, ${String(pitches.told)} counted` : '';
    return key === undefined ? `${what}: not found` : `${what}: ${inTime ? 'in time' : 'late'}${count}`;
  });
  return [
    plant.id,
    plant.about,
    points(elongation.worst),
    points(elongation.naive),
    told.join('; ') || 'nothing to find',
    String(falseAlarms.length),
  ];
}

function byPlant(scores: readonly PlantScore[]): string {
  return markdown(['plant', 'what happens', 'ε error', 'raw', 'found', 'false'], scores.map(plantRow));
}

function markdown(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]): string => `| ${cells.join(' | ')} |`;
  return [line(head), line(head.map(() => '---')), ...rows.map(line)].join('\n');
}

/** The rows of the kept tables, without their heads. */
export function keptRows(document: string): KeptRow[] {
  const [from, to] = [document.indexOf(BEGIN), document.indexOf(END)];
  if (from < 0 || to < from) return [];
  return document
    .slice(from, to)
    .split('\n')
    .filter((line) => line.startsWith('|') && !/^\|[\s:|-]+\|$/u.test(line))
    .map((line) =>
      line
        .split('|')
        .slice(1, -1)
        .map((cell) => cell.trim()),
    )
    .filter(([name]) => name !== 'figure' && name !== 'plant')
    .map(([name = '', ...cells]) => ({ name, cells }));
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

function middle(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN;
}

function points(value: number): string {
  return value.toFixed(4);
}

function percent(value: number): string {
  return `${(100 * value).toFixed(0)} %`;
}

function share(part: number, whole: number): string {
  return `${String(part)} of ${String(whole)}`;
}
