import { describePaging } from './describe-paging.js';
import { formatTime } from '../units/time.js';
import { conveyorSignals, type Conveyor, type Limits, type Signal, type Site, type SiteFilter, type Spring, type Takeup } from './site.js';

/** What a site has watched, as lines for a person. Figures are in the units of the site file: mm, N, °C. */
export function describeSite(site: Site): readonly string[] {
  const signals = site.conveyors.flatMap(conveyorSignals);
  return [
    `Site ${named(site)}; time zone ${site.timezone}, ${site.units} units on the screens`,
    ...describeFilter(site.filter),
    ...site.conveyors.flatMap((conveyor) => ['', ...describeConveyor(conveyor)]),
    '',
    ...describePaging(site),
    '',
    `${plural(site.conveyors.length, 'conveyor')}, ${plural(
      site.conveyors.reduce((sum, { takeups }) => sum + takeups.length, 0),
      'take-up',
    )}, ${plural(signals.length, 'signal')}`,
  ];
}

function describeFilter(filter: SiteFilter): string[] {
  const { spikeK, smoothingS, windowMin, fewestReadings, jumpMm } = filter;
  const said = [
    ...(spikeK === undefined ? [] : [`a spike is ${number(spikeK)} spreads off`]),
    ...(smoothingS === undefined ? [] : [`smoothed over ${number(smoothingS)} s`]),
    ...(windowMin === undefined ? [] : [`settled over ${number(windowMin)} min`]),
    ...(fewestReadings === undefined ? [] : [`of ${String(fewestReadings)} readings at least`]),
    ...(jumpMm === undefined ? [] : [`not with a jump of ${mm(jumpMm)}`]),
  ];
  return said.length === 0 ? [] : [`Filter, other than is usual: ${said.join(', ')}`];
}

function describeConveyor(conveyor: Conveyor): string[] {
  const { chain, carriers, zones, ambient, path } = conveyor;
  const metres = (chain.pitches * chain.pitchMm) / 1000;
  return [
    `Conveyor ${named(conveyor)}`,
    `  chain: ${String(chain.pitches)} pitches of ${mm(chain.pitchMm)} (${number(metres)} m), shortened by multiples of ${String(chain.repeatPitches)}, worn out at ${number(chain.wearLimitPct)} %`,
    `  tension: ${bounds(chain.minTensionN, chain.maxTensionN)}; elastic correction: ${chain.stiffnessKn === undefined ? 'none' : `EA ${number(chain.stiffnessKn)} kN`}`,
    ...(carriers ? [`  carriers: every ${mm(carriers.spacingMm)}, at least ${mm(carriers.minSpacingMm)}`] : []),
    `  drive: ${conveyor.drive.reversing ? 'reversing' : 'one way'}; ${conveyor.running ? 'running by its signal' : 'no running signal, counts as always running'}`,
    ...zones.map(
      ({ id, lengthMm, referenceC, lagS }) => `  zone ${id}: ${mm(lengthMm)}, reference ${number(referenceC)} °C, lag ${number(lagS)} s`,
    ),
    ...(ambient ? [`  ambient: reference ${number(ambient.referenceC)} °C`] : []),
    ...(path.length > 0 ? [`  path: ${plural(path.length, 'stretch', 'stretches')}`] : []),
    ...conveyor.takeups.flatMap(describeTakeup),
    '  signals:',
    ...table(conveyorSignals(conveyor).map(signalRow)).map((line) => `    ${line}`),
  ];
}

function describeTakeup(takeup: Takeup): string[] {
  const { left, right } = takeup.sides;
  return [
    `  take-up ${takeup.id}: ${takeup.location}`,
    `    stroke ${mm(takeup.strokeMm)}, wrap ${number(takeup.wrapDeg)}°, gain ${takeup.gain.toFixed(3)}, turn friction ${number(takeup.turnFriction)}`,
    `    ${describeSpring(takeup.spring)}`,
    `    reference ${mm(takeup.reference.positionMm)} at ${formatTime(takeup.reference.atMs)}`,
    ...(['left', 'right'] as const).map((name) => {
      const { set } = name === 'left' ? left : right;
      return `    ${name} set at ${mm(set.positionMm)} with the spring at ${mm(set.springMm)}, ${formatTime(set.atMs)}`;
    }),
    ...describeLimits(takeup.limits).map((line) => `    set-point ${line}`),
    ...describeTerms(takeup.alarmTerms).map((line) => `    alarm ${line}`),
  ];
}

function describeSpring(spring: Spring): string {
  const source = spring.wire ? `, from wire ${mm(spring.wire.wireMm)}` : '';
  return `${plural(spring.perSide, 'spring')} a side: free ${mm(spring.freeMm)}, ${number(spring.rateNPerMm)} N/mm, solid ${mm(spring.solidMm)}, shortest usable ${mm(spring.solidMm + spring.clearanceMm)}${source}`;
}

function describeTerms(alarmTerms: Takeup['alarmTerms']): string[] {
  return Object.entries(alarmTerms).map(([alarm, { priority, respondWithinMin, latch, consequence, action }]) => {
    const said = [
      ...(priority === undefined ? [] : [`${priority} priority`]),
      ...(respondWithinMin === undefined ? [] : [`respond within ${number(respondWithinMin)} min`]),
      ...(latch === undefined ? [] : [latch ? 'stays until acknowledged' : 'does not wait to be acknowledged']),
      ...(consequence === undefined ? [] : [`consequence "${consequence}"`]),
      ...(action === undefined ? [] : [`action "${action}"`]),
    ];
    return `${alarm}: ${said.join(', ')}`;
  });
}

function describeLimits(limits: Limits): string[] {
  return Object.entries(limits)
    .filter(([, fields]) => Object.keys(fields).length > 0)
    .map(
      ([alarm, fields]) =>
        `${alarm}: ${Object.entries(fields)
          .map(([field, value]) => `${field} ${number(value)}`)
          .join(', ')}`,
    );
}

function signalRow(signal: Signal): string[] {
  return [
    signal.name,
    signal.topic,
    signal.pointer === undefined ? 'number or /value' : `at ${signal.pointer === '' ? 'the root' : signal.pointer}`,
    signal.unit === 'state' ? '1/0' : signal.unit,
    `every ${number(signal.periodS)} s`,
    ...(signal.timePointer === undefined ? [] : [`time at ${signal.timePointer}`]),
    ...(signal.scale ? [`${signal.scale.from.join('…')} → ${signal.scale.to.join('…')}`] : []),
    ...(signal.valid ? [`valid ${signal.valid.join('…')}`] : []),
  ];
}

/** Rows of cells as lines in which the columns stand below one another. */
function table(rows: readonly (readonly string[])[]): string[] {
  const columns = Math.max(0, ...rows.map((row) => row.length));
  const widths = Array.from({ length: columns }, (_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  return rows.map((row) =>
    row
      .map((cell, column) => cell.padEnd(widths[column] ?? 0))
      .join('  ')
      .trimEnd(),
  );
}

function bounds(least: number | undefined, most: number | undefined): string {
  if (least === undefined && most === undefined) return 'no limits';
  return [least === undefined ? [] : [`at least ${number(least)} N`], most === undefined ? [] : [`at most ${number(most)} N`]]
    .flat()
    .join(', ');
}

function named({ id, name }: { readonly id: string; readonly name: string }): string {
  return id === name ? id : `${id}, ${name}`;
}

function plural(count: number, one: string, many = `${one}s`): string {
  return `${String(count)} ${count === 1 ? one : many}`;
}

function mm(value: number): string {
  return `${number(value)} mm`;
}

/** At most six figures: wire geometry gives long fractions that nobody measures. */
function number(value: number): string {
  return String(Number(value.toPrecision(6)));
}
