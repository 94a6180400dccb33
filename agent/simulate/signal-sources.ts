import { conveyorSignals, type Conveyor, type SideName, type Signal } from '../site/site.js';
import { Breathing } from './breathing.js';
import { SIDE_NAMES } from './conveyor-state.js';
import type { ConveyorScenario, SensorScenario, TransportScenario } from './scenario.js';
import { along, type CarriageCourse, type Course, type Segment } from './segment.js';
import { SignalSource, type Measured, type SourceSettings } from './signal-source.js';

/** Where a conveyor's readings go and how often they are taken. */
export interface SourcesSettings {
  readonly seed: number;
  readonly transport: TransportScenario;
  /** Place of the conveyor's first signal in the site. */
  readonly firstIndex: number;
  /** No signal is read more often than this; undefined: as the site says. */
  readonly readingPeriodS: number | undefined;
  /** Readings up to and at this time have been taken. */
  readonly afterMs: number;
}

/** A state that holds is told anew so many periods apart, and not more often than this. */
const STATE_PERIODS = 5;
const STATE_LEAST_S = 10;

/** A source for every signal of a conveyor, in the order of `conveyorSignals`. */
export function signalSources(conveyor: Conveyor, scenario: ConveyorScenario, settings: SourcesSettings): SignalSource[] {
  const measured = measuredBy(conveyor, scenario, settings.seed);
  return conveyorSignals(conveyor).map((signal, index) => {
    const of = measured.get(signal);
    if (of === undefined) throw new Error(`the simulated plant has no value for ${signal.name}`);
    const periodS = Math.max(signal.periodS, settings.readingPeriodS ?? 0);
    const each: SourceSettings = {
      signal,
      index: settings.firstIndex + index,
      periodMs: 1000 * (signal.quantity === 'running' ? Math.max(STATE_LEAST_S, STATE_PERIODS * periodS) : periodS),
      transport: settings.transport,
      ...sensorOf(signal, scenario.sensors),
    };
    return new SignalSource(each, of, settings.seed, settings.afterMs);
  });
}

type Sensor = Pick<SourceSettings, 'jitterMs' | 'noise' | 'quietStanding' | 'resolution' | 'spikeShare' | 'spikeHeight'>;

function sensorOf({ quantity, resolutionMm }: Signal, sensors: SensorScenario): Sensor {
  const plain = { jitterMs: sensors.jitterMs, quietStanding: false, spikeShare: 0, spikeHeight: 0 };
  switch (quantity) {
    case 'position':
    case 'spring':
      return {
        ...plain,
        noise: quantity === 'position' ? sensors.positionMm : sensors.springMm,
        resolution: resolutionMm ?? sensors.resolutionMm,
        spikeShare: quantity === 'position' ? sensors.spikeShare : 0,
        spikeHeight: sensors.spikeMm,
      };
    case 'temperature':
      return { ...plain, noise: sensors.temperatureC, resolution: resolutionMm ?? sensors.resolutionC };
    case 'speed':
      return { ...plain, noise: sensors.speedMPerMin, resolution: resolutionMm ?? sensors.resolutionMPerMin, quietStanding: true };
    case 'running':
      return { ...plain, noise: 0, resolution: 1 };
  }
}

function measuredBy(conveyor: Conveyor, scenario: ConveyorScenario, seed: number): ReadonlyMap<Signal, Measured> {
  const measured = new Map<Signal, Measured>();
  const { running, speed, zones, ambient, takeups } = conveyor;
  if (running) measured.set(running, (segment) => (segment.running ? 1 : 0));
  if (speed) measured.set(speed, (segment) => (segment.running ? scenario.speedMPerMin : 0));
  zones.forEach(({ temperature }, index) => {
    measured.set(temperature, (segment, timeMs) => along(segment.zones[index] as Course, timeMs - segment.fromMs));
  });
  if (ambient) measured.set(ambient.temperature, (segment, timeMs) => along(segment.ambient, timeMs - segment.fromMs));
  takeups.forEach((takeup, index) => {
    const breathing = new Breathing(scenario.breathing, seed, `${conveyor.id} ${takeup.id}`);
    for (const side of SIDE_NAMES) {
      const place = side === 'left' ? 0 : 1;
      const { position, spring } = takeup.sides[side];
      measured.set(position, (segment, timeMs) => {
        const carriage = segment.carriages[index] as CarriageCourse;
        return sideMm(segment, carriage, breathing, side, timeMs) + carriage.shiftMm[place];
      });
      if (!spring) continue;
      measured.set(spring, (segment, timeMs) => {
        const carriage = segment.carriages[index] as CarriageCourse;
        return sideMm(segment, carriage, breathing, side, timeMs) + carriage.springBeyondMm[place];
      });
    }
  });
  return measured;
}

/** Where a side of a carriage really is. */
function sideMm(segment: Segment, carriage: CarriageCourse, breathing: Breathing, side: SideName, timeMs: number): number {
  const sinceMs = timeMs - segment.fromMs;
  const breath = carriage.breathingShare * breathing.at(along(segment.travel, sinceMs), segment.loopMm);
  const mean = Math.min(carriage.outerMm, Math.max(carriage.innerMm, along(carriage.x, sinceMs) + breath));
  const skew = along(carriage.skewMm, sinceMs) / 2;
  return side === 'left' ? mean + skew : mean - skew;
}
