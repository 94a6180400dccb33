import { parseTime } from '../units/time.js';
import { DEFAULTS } from './defaults.js';
import { TERM_FIELDS } from './limit-fields.js';
import { reevingGain } from './reeving-gain.js';
import { resolvePaging, resolvePeople, resolveRota } from './resolve-paging.js';
import { resolveSignal } from './resolve-signal.js';
import { resolveSpring } from './resolve-spring.js';
import type { ConveyorFile, SegmentFile, SideFile, SiteFile, TakeupFile } from './schema.js';
import type { TermsOfFile } from './schema-takeup.js';
import type { Chain, Conveyor, OwnTerms, PathSegment, Side, SideName, Site, SiteFilter, Takeup } from './site.js';

/** The site as the program uses it, from a file without faults. */
export function resolveSite({ site, conveyors, filter, people, rota, paging }: SiteFile): Site {
  return {
    id: site.id,
    name: site.name ?? site.id,
    timezone: site.timezone,
    units: site.units ?? DEFAULTS.units.value,
    conveyors: conveyors.map((conveyor) => resolveConveyor(site.id, conveyor)),
    filter: resolveFilter(filter),
    people: resolvePeople(people),
    ...(rota && { rota: resolveRota(rota, site.timezone) }),
    ...(paging && { paging: resolvePaging(paging) }),
  };
}

function resolveFilter(file: SiteFile['filter'] = {}): SiteFilter {
  return {
    ...(file.spike_k !== undefined && { spikeK: file.spike_k }),
    ...(file.smoothing_s !== undefined && { smoothingS: file.smoothing_s }),
    ...(file.window_min !== undefined && { windowMin: file.window_min }),
    ...(file.fewest_readings !== undefined && { fewestReadings: file.fewest_readings }),
    ...(file.jump_mm !== undefined && { jumpMm: file.jump_mm }),
  };
}

function resolveConveyor(siteId: string, file: ConveyorFile): Conveyor {
  const { id, carriers, signals = {}, ambient } = file;
  return {
    id,
    name: file.name ?? id,
    chain: resolveChain(file.chain),
    ...(carriers && { carriers: { spacingMm: carriers.spacing_mm, minSpacingMm: carriers.min_spacing_mm } }),
    drive: { reversing: file.drive?.reversing ?? DEFAULTS.reversing.value },
    ...(signals.running && { running: resolveSignal(siteId, `${id}/running`, 'running', signals.running) }),
    ...(signals.speed && { speed: resolveSignal(siteId, `${id}/speed`, 'speed', signals.speed) }),
    zones: (file.zones ?? []).map((zone) => ({
      id: zone.id,
      lengthMm: zone.length_mm,
      referenceC: zone.reference_c,
      temperature: resolveSignal(siteId, `${id}/${zone.id}/temperature`, 'temperature', zone.temperature ?? {}),
      lagS: zone.lag_s ?? DEFAULTS.lagS.value,
    })),
    ...(ambient && {
      ambient: {
        referenceC: ambient.reference_c,
        temperature: resolveSignal(siteId, `${id}/ambient/temperature`, 'temperature', ambient.temperature ?? {}),
      },
    }),
    path: (file.path ?? []).map(resolveSegment),
    takeups: file.takeups.map((takeup) => resolveTakeup(siteId, id, takeup)),
  };
}

function resolveChain(file: ConveyorFile['chain']): Chain {
  return {
    pitchMm: file.pitch_mm,
    pitches: file.pitches,
    repeatPitches: file.repeat_pitches,
    ...(file.connector_every_pitches !== undefined && { connectorEveryPitches: file.connector_every_pitches }),
    wearLimitPct: file.wear_limit_pct,
    wearAtReferencePct: file.wear_at_reference_pct ?? DEFAULTS.wearAtReferencePct.value,
    expansionPerC: file.expansion_per_c ?? DEFAULTS.expansionPerC.value,
    trackExpansionPerC: file.track_expansion_per_c ?? DEFAULTS.trackExpansionPerC.value,
    ...(file.stiffness_kn !== undefined && { stiffnessKn: file.stiffness_kn }),
    ...(file.min_tension_n !== undefined && { minTensionN: file.min_tension_n }),
    ...(file.max_tension_n !== undefined && { maxTensionN: file.max_tension_n }),
  };
}

function resolveSegment(file: SegmentFile): PathSegment {
  if ('drive' in file) return { kind: 'drive' };
  const { load_n_per_m: load, friction } = 'straight' in file ? file.straight : file.curve;
  const common = { loadNPerM: load ?? DEFAULTS.loadNPerM.value, friction: friction ?? DEFAULTS.segmentFriction.value };
  if ('straight' in file) {
    return {
      kind: 'straight',
      lengthMm: file.straight.length_mm,
      riseMm: file.straight.rise_mm ?? DEFAULTS.straightRiseMm.value,
      ...common,
    };
  }
  return { kind: 'curve', angleDeg: file.curve.angle_deg, radiusMm: file.curve.radius_mm ?? DEFAULTS.curveRadiusMm.value, ...common };
}

function resolveTakeup(siteId: string, conveyorId: string, file: TakeupFile): Takeup {
  const path = `${conveyorId}/${file.id}`;
  return {
    id: file.id,
    location: file.location,
    wrapDeg: file.wrap_deg,
    gain: reevingGain(file.wrap_deg),
    turnFriction: file.turn_friction ?? DEFAULTS.turnFriction.value,
    strokeMm: file.stroke_mm,
    spring: resolveSpring(file.spring),
    ...(file.nut_lead_mm !== undefined && { nutLeadMm: file.nut_lead_mm }),
    reference: { atMs: instantOf(file.reference.at), positionMm: file.reference.position_mm },
    sides: { left: resolveSide(siteId, path, 'left', file.sides.left), right: resolveSide(siteId, path, 'right', file.sides.right) },
    ...resolveLimits(file.limits ?? {}),
  };
}

/** Parts the set-points of each alarm, which are numbers, from what it is to people. */
function resolveLimits(file: NonNullable<TakeupFile['limits']>): Pick<Takeup, 'limits' | 'alarmTerms'> {
  const alarms = Object.entries(file).map(([alarm, fields]) => {
    const { priority, consequence, action, respond_within_min, latch } = fields as TermsOfFile;
    const terms: OwnTerms = {
      ...(priority !== undefined && { priority }),
      ...(consequence !== undefined && { consequence }),
      ...(action !== undefined && { action }),
      ...(respond_within_min !== undefined && { respondWithinMin: respond_within_min }),
      ...(latch !== undefined && { latch }),
    };
    const points = Object.entries(fields).filter((field): field is [string, number] => !(field[0] in TERM_FIELDS));
    return { alarm, points: Object.fromEntries(points), terms };
  });
  return {
    limits: Object.fromEntries(alarms.map(({ alarm, points }) => [alarm, points])),
    alarmTerms: Object.fromEntries(alarms.flatMap(({ alarm, terms }) => (Object.keys(terms).length === 0 ? [] : [[alarm, terms]]))),
  };
}

function resolveSide(siteId: string, path: string, name: SideName, file: SideFile): Side {
  return {
    position: resolveSignal(siteId, `${path}/${name}/position`, 'position', file.position ?? {}),
    ...(file.spring && { spring: resolveSignal(siteId, `${path}/${name}/spring`, 'spring', file.spring) }),
    set: { atMs: instantOf(file.set.at), positionMm: file.set.position_mm, springMm: file.set.spring_mm },
  };
}

function instantOf(text: string): number {
  const at = parseTime(text);
  if (at === undefined) throw new Error(`a time that passed the checks cannot be read: ${text}`);
  return at;
}
