import { TRACE_NAMES, type TraceName } from '../../contract/bench.js';
import type { TakeupTrack, SideTrack } from '../../flow/takeup/takeup-track.js';
import type { WindowRecord } from '../../flow/ledger/window-record.js';
import type { LookOn } from '../../flow/way/block.js';
import type { Pipeline } from '../../pipeline.js';
import { conveyorSignals } from '../../site/site.js';
import type { TraceBuckets } from './trace-buckets.js';

const TRACE = Object.fromEntries(TRACE_NAMES.map((name, index) => [name, index])) as Record<TraceName, number>;

/** What is looked at after a reading of one signal: the side of a carriage, and where its values are drawn. */
interface Probe {
  readonly buckets: TraceBuckets;
  readonly side: SideTrack;
  readonly raw: number;
  readonly free: number;
  readonly smooth: number;
  readonly spring: number;
  freeMs: number;
  readonly window: () => WindowRecord | undefined;
  readonly elongationPct: (record: WindowRecord) => number;
  readonly seen: { record: WindowRecord | undefined };
}

/** Looks into a pipeline while it runs, and draws what it sees. It changes nothing. */
export class Probes {
  private readonly probes: readonly (Probe | undefined)[];

  /** @param buckets - one for each take-up of the site, in the order of its file */
  constructor(pipeline: Pipeline, buckets: readonly TraceBuckets[]) {
    const probes: (Probe | undefined)[] = [];
    let takeupsBefore = 0;
    for (const way of pipeline.ways) {
      const seen = way.tracks.map(() => ({ record: undefined as WindowRecord | undefined }));
      for (const signal of conveyorSignals(way.conveyor)) {
        const index = way.tracks.findIndex((track) => sideOf(track, signal.name) !== undefined);
        const track = way.tracks[index];
        const side = track && sideOf(track, signal.name);
        const drawn = buckets[takeupsBefore + index];
        if (track === undefined || side === undefined || drawn === undefined) {
          probes.push(undefined);
          continue;
        }
        const left = side === track.left;
        probes.push({
          buckets: drawn,
          side,
          raw: left ? TRACE.rawLeft : TRACE.rawRight,
          free: left ? TRACE.freeLeft : TRACE.freeRight,
          smooth: left ? TRACE.smoothLeft : TRACE.smoothRight,
          spring: left ? TRACE.springLeft : TRACE.springRight,
          freeMs: NaN,
          window: () => way.account.histories[index]?.last,
          elongationPct: (record) => 100 * way.account.ledger.figures(index, record).elongation,
          seen: seen[index] as { record: WindowRecord | undefined },
        });
      }
      takeupsBefore += way.tracks.length;
    }
    this.probes = probes;
  }

  /** Looks after a reading, as `Pipeline.readRows` lets one look on. */
  readonly look: LookOn = (signal, timeMs, value) => {
    const probe = this.probes[signal];
    if (probe === undefined) return;
    const { side, buckets } = probe;
    const { position } = side;
    if (value === value) buckets.add(probe.raw, timeMs, value);
    const freeMs = position.timeMs;
    if (freeMs === probe.freeMs || freeMs !== freeMs) return;
    probe.freeMs = freeMs;
    const column = buckets.columnAt(freeMs);
    if (column >= 0) {
      buckets.put(probe.free, column, position.spikeFree);
      buckets.put(probe.smooth, column, position.smoothed);
      buckets.put(probe.spring, column, side.cells[2] as number);
    }
    const record = probe.window();
    if (record === undefined || record === probe.seen.record) return;
    probe.seen.record = record;
    buckets.add(TRACE.settled, record.toMs, record.mean);
    buckets.add(TRACE.elongation, record.toMs, probe.elongationPct(record));
  };
}

function sideOf(track: TakeupTrack, signal: string): SideTrack | undefined {
  return [track.left, track.right].find(({ side }) => side.position.name === signal);
}
