import { DEFAULTS } from './defaults.js';
import type { SignalFile, SiteFile } from './schema.js';
import { defaultTopic, signalPlaces, type SignalPlace } from './signal-places.js';
import type { SignalQuantity, SignalUnit } from './site.js';
import { keyOf, type Complaint } from './site-fault.js';
import type { Sound } from './sound.js';

const ELECTRICAL: readonly SignalUnit[] = ['mA', 'V', 'percent', 'counts'];

/** The units in which each quantity can be read. Running has none: it is a state. */
const UNITS_OF: Readonly<Record<SignalQuantity, readonly SignalUnit[]>> = {
  position: ['mm', 'in', 'cm', 'm', ...ELECTRICAL],
  spring: ['mm', 'in', 'cm', 'm', ...ELECTRICAL],
  temperature: ['C', 'F', ...ELECTRICAL],
  speed: ['m/min', 'ft/min', ...ELECTRICAL],
  running: ['state'],
};

export const DEFAULT_UNIT: Readonly<Record<SignalQuantity, SignalUnit>> = {
  position: DEFAULTS.lengthUnit.value,
  spring: DEFAULTS.lengthUnit.value,
  temperature: DEFAULTS.temperatureUnit.value,
  speed: DEFAULTS.speedUnit.value,
  running: DEFAULTS.runningUnit.value,
};

/** What the keys of a signal say about one another, and what the signals say about one another. */
export function* checkSignals(site: Sound<SiteFile>): Generator<Complaint> {
  const places = [...signalPlaces(site)];
  for (const place of places) {
    yield* checkUnit(place);
    yield* checkScale(place);
    yield* checkTopic(place, site.site?.id);
  }
  yield* checkDoubled(places, site.site?.id);
}

function* checkUnit({ path, quantity, signal }: SignalPlace): Generator<Complaint> {
  if (quantity === 'running') {
    if (signal.unit !== undefined) {
      yield {
        path: [...path, 'unit'],
        at: 'value',
        rule: 'unit-misfit',
        message: 'running is 1 or 0, true or false, and has no unit; leave it out',
      };
    }
    for (const key of ['scale', 'valid', 'resolution_mm'] as const) {
      if (signal[key] === undefined) continue;
      yield { path: [...path, key], at: 'key', rule: 'scale-misfit', message: `running is a state, not a measure; leave ${key} out` };
    }
    return;
  }
  if (signal.unit !== undefined && !UNITS_OF[quantity].includes(signal.unit)) {
    yield {
      path: [...path, 'unit'],
      at: 'value',
      rule: 'unit-misfit',
      message: `${signal.unit} is no unit of a ${quantity}; it can be ${UNITS_OF[quantity].join(', ')}`,
    };
  }
  if (signal.unit !== undefined && ELECTRICAL.includes(signal.unit) && !('scale' in signal)) {
    yield {
      path: [...path, 'unit'],
      at: 'value',
      rule: 'scale-missing',
      message: `what the ${signal.unit} of this sensor mean is not told; add scale: { from: [a, b], to: [c, d] } with two calibration points`,
    };
  }
}

function* checkScale({ path, signal }: SignalPlace): Generator<Complaint> {
  for (const key of ['from', 'to'] as const) {
    const points = signal.scale?.[key];
    if (points === undefined || points[0] !== points[1]) continue;
    yield {
      path: [...path, 'scale', key],
      at: 'key',
      rule: 'scale-flat',
      message: 'the two points are equal; a line needs two different ones',
    };
  }
  if (signal.valid !== undefined && signal.valid[0] >= signal.valid[1]) {
    yield { path: [...path, 'valid'], at: 'key', rule: 'valid-order', message: 'the lower end comes first: [lowest, highest]' };
  }
}

function* checkTopic({ path, signal: { topic } }: SignalPlace, siteId: string | undefined): Generator<Complaint> {
  if (topic === undefined) return;
  const own = ['out', 'agent', 'do', 'done']
    .map((branch) => `takeline/${siteId ?? ''}/${branch}/`)
    .find((branch) => topic.startsWith(branch));
  const message = topic.startsWith('$')
    ? 'topics that begin with $ belong to the broker'
    : own === undefined
      ? undefined
      : `under ${own} the program itself writes; readings come from elsewhere`;
  if (message !== undefined) yield { path: [...path, 'topic'], at: 'value', rule: 'bad-topic', message };
}

function* checkDoubled(places: readonly SignalPlace[], siteId: string | undefined): Generator<Complaint> {
  const taken = new Map<string, SignalPlace>();
  for (const place of places) {
    const source = sourceOf(place, siteId);
    if (source === undefined) continue;
    const other = taken.get(source);
    if (other === undefined) taken.set(source, place);
    else {
      yield {
        path: place.signal.topic === undefined ? place.path : [...place.path, 'topic'],
        at: 'value',
        rule: 'signal-doubled',
        message: `reads the same topic and pointer as ${keyOf(other.path)}; one value cannot be two signals`,
      };
    }
  }
}

/** Topic and pointer in one text. Without a pointer the value is the payload itself or its `/value`, hence one name for the three. */
function sourceOf({ name, signal }: SignalPlace, siteId: string | undefined): string | undefined {
  if (('topic' in signal && signal.topic === undefined) || ('pointer' in signal && signal.pointer === undefined)) return undefined;
  const topic = signal.topic ?? (name === undefined || siteId === undefined ? undefined : defaultTopic(siteId, name));
  return topic === undefined ? undefined : `${topic}\n${wholePayload(signal) ? '' : (signal.pointer ?? '')}`;
}

function wholePayload({ pointer }: Sound<SignalFile>): boolean {
  return pointer === undefined || pointer === '' || pointer === '/value';
}
