import type { ConveyorFile, SiteFile } from './schema.js';
import { each } from './signal-places.js';
import type { Complaint, SitePath } from './site-fault.js';
import type { Sound } from './sound.js';

/** What the figures of one conveyor say about one another. */
export function* checkConveyors(site: Sound<SiteFile>): Generator<Complaint> {
  for (const [conveyor, path] of each(site.conveyors, ['conveyors'])) {
    yield* checkChain(conveyor.chain, [...path, 'chain']);
    yield* checkCarriers(conveyor.carriers, [...path, 'carriers']);
    yield* checkZones(conveyor, [...path, 'zones']);
    yield* checkPath(conveyor.path, [...path, 'path']);
  }
}

function* checkChain(chain: Sound<ConveyorFile['chain']> | undefined, path: SitePath): Generator<Complaint> {
  const pitches = chain?.pitches;
  for (const key of ['repeat_pitches', 'connector_every_pitches'] as const) {
    const every = chain?.[key];
    if (pitches === undefined || every === undefined || every <= pitches) continue;
    yield {
      path: [...path, key],
      at: 'value',
      rule: 'longer-than-chain',
      message: `${String(every)} pitches are more than the chain has, ${String(pitches)}`,
    };
  }
  const { min_tension_n: least, max_tension_n: most } = chain ?? {};
  if (least !== undefined && most !== undefined && least >= most) {
    yield {
      path: [...path, 'max_tension_n'],
      at: 'value',
      rule: 'tension-order',
      message: `the most tension, ${String(most)} N, must be above the least, ${String(least)} N`,
    };
  }
}

function* checkCarriers(carriers: Sound<ConveyorFile['carriers']>, path: SitePath): Generator<Complaint> {
  const { spacing_mm: spacing, min_spacing_mm: least } = carriers ?? {};
  if (spacing === undefined || least === undefined || least <= spacing) return;
  yield {
    path: [...path, 'min_spacing_mm'],
    at: 'value',
    rule: 'carrier-spacing',
    message: `the least spacing, ${String(least)} mm, is wider than the spacing itself, ${String(spacing)} mm`,
  };
}

function* checkZones({ chain, zones }: Sound<ConveyorFile>, path: SitePath): Generator<Complaint> {
  if (chain?.pitch_mm === undefined || chain.pitches === undefined) return;
  const whole = chain.pitch_mm * chain.pitches;
  const together = [...each(zones, path)].reduce((sum, [zone]) => sum + (zone.length_mm ?? 0), 0);
  if (together <= whole) return;
  yield {
    path,
    at: 'key',
    rule: 'zones-longer-than-chain',
    message: `the zones are ${String(together)} mm long together, the whole chain only ${String(whole)} mm`,
  };
}

function* checkPath(segments: Sound<ConveyorFile['path']>, path: SitePath): Generator<Complaint> {
  let drives = 0;
  for (const [segment, segmentPath] of each(segments, path)) {
    if ('drive' in segment && ++drives > 1) {
      yield {
        path: [...segmentPath, 'drive'],
        at: 'key',
        rule: 'two-drives',
        message: 'the path has a drive already; one chain has one drive',
      };
    }
    if (!('straight' in segment)) continue;
    const { length_mm: length, rise_mm: rise } = segment.straight ?? {};
    if (length === undefined || rise === undefined || Math.abs(rise) <= length) continue;
    yield {
      path: [...segmentPath, 'straight', 'rise_mm'],
      at: 'value',
      rule: 'rise-over-length',
      message: `a stretch of ${String(length)} mm cannot rise or fall by ${String(rise)} mm`,
    };
  }
}
