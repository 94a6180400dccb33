import { nearMiss } from '../site/near-miss.js';
import type { Site } from '../site/site.js';
import { scenarioFaults } from './check-scenario.js';
import { conveyorWith, type ConveyorOverrides } from './default-scenario.js';
import { overlay, type Fault } from './overlay.js';
import { presetScenario, PRESETS, type Span } from './presets.js';
import { readForced, readTroubles, readWaves, readWorks, type Where } from './read-happenings.js';
import type { ConveyorScenario, PlantScenario, TransportScenario } from './scenario.js';

export type ScenarioReading =
  | { readonly ok: true; readonly scenario: PlantScenario }
  /** Each says where, and what is wrong. */
  | { readonly ok: false; readonly faults: readonly Fault[] };

/** Sections of a conveyor's part that are overlaid key by key. */
const SECTIONS = ['wear', 'load', 'heat', 'climate', 'sensors', 'takeups'] as const satisfies readonly (keyof ConveyorScenario)[];

/**
 * Reads a scenario as a person writes it: a preset to begin with, and what differs from it. Keys are those of `PlantScenario` with
 * underscores; times are ISO 8601 with an offset, or days since the start of the span.
 *
 * @param json - what `JSON.parse` gave
 * @param span - the time that presets are laid out over, and days are counted in
 */
export function readScenario(json: unknown, site: Site, span: Span): ScenarioReading {
  const faults: Fault[] = [];
  const file = objectAt(json, '', ['preset', 'conveyors', 'transport'], faults);
  const name = typeof file['preset'] === 'string' ? file['preset'] : JSON.stringify(file['preset'] ?? 'healthy');
  const base = presetScenario(file['preset'] === undefined ? 'healthy' : name, site, span);
  if (base === undefined) return { ok: false, faults: [...faults, `preset: ${noPreset(name)}`] };
  const parts = objectAt(file['conveyors'] ?? {}, 'conveyors', Object.keys(base.conveyors), faults);
  const conveyors = Object.entries(base.conveyors).map(([id, usual]): [string, ConveyorScenario] => {
    const part = parts[id];
    return [id, part === undefined ? usual : readConveyor(part, id, usual, site, span, faults)];
  });
  const transport = overlay(base.transport, file['transport'] ?? {}, 'transport', faults) as TransportScenario;
  const scenario: PlantScenario = { conveyors: Object.fromEntries(conveyors), transport };
  if (faults.length === 0) faults.push(...scenarioFaults(scenario));
  return faults.length > 0 ? { ok: false, faults } : { ok: true, scenario };
}

function readConveyor(json: unknown, id: string, usual: ConveyorScenario, site: Site, span: Span, faults: Fault[]): ConveyorScenario {
  const path = `conveyors.${id}`;
  const keys = ['speed_m_per_min', ...SECTIONS, 'shifts', 'breathing', 'works', 'troubles'];
  const part = objectAt(json, path, keys, faults);
  const where = (key: string): Where => ({ path: `${path}.${key}`, conveyor: id, site, span, faults });
  const { speedMPerMin } = overlay({ speedMPerMin: usual.speedMPerMin }, pick(part, 'speed_m_per_min'), path, faults) as ConveyorScenario;
  const sections = Object.fromEntries(
    SECTIONS.filter((section) => part[section] !== undefined).map((section) => [
      section,
      overlay(usual[section], part[section], `${path}.${section}`, faults),
    ]),
  ) as ConveyorOverrides;
  const { forced, ...shifts } = usual.shifts;
  const { waves, ...breathing } = usual.breathing;
  const { forced: forcedJson, ...shiftsJson } = openAt(part['shifts'], `${path}.shifts`, faults);
  const { waves: wavesJson, ...breathingJson } = openAt(part['breathing'], `${path}.breathing`, faults);
  return conveyorWith(usual, {
    ...sections,
    speedMPerMin,
    shifts: {
      ...(overlay(shifts, shiftsJson, `${path}.shifts`, faults) as typeof shifts),
      forced: [...forced, ...readForced(forcedJson, where('shifts.forced'))],
    },
    breathing: {
      ...(overlay(breathing, breathingJson, `${path}.breathing`, faults) as typeof breathing),
      waves: wavesJson === undefined ? waves : readWaves(wavesJson, where('breathing.waves')),
    },
    works: [...usual.works, ...readWorks(part['works'], where('works'))],
    troubles: [...usual.troubles, ...readTroubles(part['troubles'], where('troubles'))],
  });
}

function pick(part: Readonly<Record<string, unknown>>, key: string): Record<string, unknown> {
  return part[key] === undefined ? {} : { [key]: part[key] };
}

/** An object whose keys are looked at elsewhere; an empty one where nothing is given. */
function openAt(json: unknown, path: string, faults: Fault[]): Readonly<Record<string, unknown>> {
  if (json === undefined) return {};
  if (typeof json === 'object' && json !== null && !Array.isArray(json)) return json as Readonly<Record<string, unknown>>;
  faults.push(`${path} must be an object`);
  return {};
}

/** The object at a place, with no other keys than these; an empty one and a fault where there is none. */
function objectAt(json: unknown, path: string, keys: readonly string[], faults: Fault[]): Readonly<Record<string, unknown>> {
  if (typeof json !== 'object' || json === null || Array.isArray(json)) {
    faults.push(`${path || 'the scenario'} must be an object with ${keys.join(', ')}`);
    return {};
  }
  for (const key of Object.keys(json)) {
    if (keys.includes(key)) continue;
    const meant = nearMiss(key, keys);
    const where = path === '' ? key : `${path}.${key}`;
    faults.push(`${where}: there is no such key; ${meant === undefined ? `there is ${keys.join(', ')}` : `perhaps ${meant} was meant`}`);
  }
  return json as Readonly<Record<string, unknown>>;
}

/** What to say of a preset that does not exist. */
export function noPreset(name: string): string {
  const names = PRESETS.map((preset) => preset.name);
  const meant = nearMiss(name, names);
  return `there is no scenario "${name}"; ${meant === undefined ? `there is ${names.join(', ')}` : `perhaps ${meant} was meant`}`;
}
