import type { Site } from '../../agent/site/site.js';
import { carriageMm, type ChainModel } from '../flow/way/chain-model.js';
import { HOUR_MS, served, type TestInput } from '../flow/way/run.js';
import { side, START_MS, testSite } from '../flow/way/test-site.js';
import { seededNoise, type Noise } from '../flow/trend/seeded-noise.js';

/** Current loops, a spring sensor, a furnace, an elastic chain, two take-ups: every kind of signal, and figures that lean on one another. */
export const EVENTFUL_SITE: Site = testSite({
  chain: { stiffness_kn: 9000, min_tension_n: 250, max_tension_n: 4000 },
  conveyor: {
    signals: { running: { period_s: 60 }, speed: { unit: 'm/min', period_s: 60 } },
    zones: [{ id: 'furnace', length_mm: 60_000, reference_c: 20, temperature: { period_s: 120 }, lag_s: 600 }],
  },
  position: { period_s: 30 },
  takeup: {
    sides: {
      left: side({ position: { period_s: 30, unit: 'mA', scale: { from: [4, 20], to: [0, 230] } }, spring: { period_s: 30 } }),
      right: side({ position: { period_s: 30, valid: [-5, 235], resolution_mm: 0.05 } }),
    },
  },
  others: [
    {
      id: 'tu2',
      location: 'before the dip',
      wrap_deg: 120,
      sides: { left: side({ position: { period_s: 30 } }), right: side({ position: { period_s: 30 } }) },
    },
  ],
});

const MODEL: ChainModel = { pitchMm: 76.2, gain: 2, reference: { pitches: 3200, elongation: 0, positionMm: 40 } };

/** Something that lasts a while, or undefined outside of it. */
interface Stretch {
  readonly fromMs: number;
  readonly untilMs: number;
}

const within = (timeMs: number, { fromMs, untilMs }: Stretch): boolean => timeMs >= fromMs && timeMs < untilMs;

/** A stretch somewhere in the run. */
function somewhere(noise: Noise, hours: number, longestH: number): Stretch {
  const fromMs = START_MS + noise.even() * hours * HOUR_MS;
  return { fromMs, untilMs: fromMs + noise.even() * longestH * HOUR_MS };
}

/**
 * A run in which much happens that a plant knows: stops, a shortening that is written down late or never, spikes, sensors that fall silent
 * or fail, payloads that are no number, readings late and twice. In
 * the order in which they are heard. The same seed gives the same run.
 */
export function eventfulRun(seed: number, hours: number): TestInput[] {
  const noise = seededNoise(seed);
  const stops = Array.from({ length: 1 + Math.floor(hours / 8) }, () => somewhere(noise, hours, 2));
  const silent = Array.from({ length: 3 }, () => ({ ...somewhere(noise, hours, 1), signal: Math.floor(noise.even() * 8) }));
  const failed = { ...somewhere(noise, hours, 1), signal: Math.floor(noise.even() * 8), raw: noise.even() < 0.5 ? NaN : 900 };
  const surge = somewhere(noise, hours, 0.02);
  const workMs = stops[0]!.fromMs;
  /** By when they are heard: a late reading has an earlier time of its own. */
  const heard: { readonly atMs: number; readonly input: TestInput }[] = entriesOf(noise, workMs, hours).map((input) => ({
    atMs: input.timeMs,
    input,
  }));
  for (let timeMs = START_MS; timeMs < START_MS + hours * HOUR_MS; timeMs += 30_000) {
    const values = valuesAt(timeMs, {
      noise,
      running: !stops.some((stop) => within(timeMs, stop)),
      workMs,
      surging: within(timeMs, surge),
    });
    Object.entries(values).forEach(([signal, value], i) => {
      if (silent.some((one) => one.signal === i && within(timeMs, one))) return;
      const raw = failed.signal === i && within(timeMs, failed) ? failed.raw : value;
      const jitterMs = noise.even() < 0.02 ? -60_000 : Math.floor(noise.even() * 500);
      const input: TestInput = { kind: 'reading', timeMs: timeMs + jitterMs, signal, raw: noise.even() < 0.004 ? NaN : raw };
      heard.push({ atMs: timeMs, input });
      if (noise.even() < 0.005) heard.push({ atMs: timeMs, input });
    });
  }
  return heard.sort((a, b) => a.atMs - b.atMs).map(({ input }) => input);
}

function valuesAt(
  timeMs: number,
  { noise, running, workMs, surging }: { noise: Noise; running: boolean; workMs: number; surging: boolean },
): Record<string, number> {
  const elongation = 0.0004 + (2e-5 * (timeMs - START_MS)) / (24 * HOUR_MS);
  const x = carriageMm(MODEL, { pitches: timeMs < workMs ? 3200 : 3198, elongation });
  const breath = running ? 1.5 * Math.sin(timeMs / 20_000) : 0;
  const mm = (x + 80) / 2 + breath - (surging ? 60 : 0) + (noise.even() < 0.003 ? 40 : 0);
  const reads = (offset: number): number => mm + offset + 0.05 * noise.normal();
  return {
    'line/running': running ? 1 : 0,
    'line/speed': running ? 9 : 0,
    'line/furnace/temperature': 800 + 5 * noise.normal(),
    'line/tu1/left/position': 4 + (16 * reads(0.5)) / 230,
    'line/tu1/left/spring': 160 + reads(0),
    'line/tu1/right/position': Math.round(reads(-0.5) / 0.05) * 0.05,
    'line/tu2/left/position': reads(20),
    'line/tu2/right/position': reads(21),
  };
}

function entriesOf(noise: Noise, workMs: number, hours: number): TestInput[] {
  const at = (): number => Math.round(START_MS + noise.even() * hours * HOUR_MS);
  const entries = [
    served(EVENTFUL_SITE, Math.round(workMs + 6 * HOUR_MS * noise.even()), { kind: 'chain-removed', pitches: 2, id: 'cut' }),
    served(EVENTFUL_SITE, at(), { kind: 'nut-turned', takeup: 'tu2', side: 'left', turns: 1, id: 'nut' }),
    served(EVENTFUL_SITE, at(), { kind: 'service-opened', takeup: 'tu1' }),
    served(EVENTFUL_SITE, at(), { kind: 'service-closed', takeup: 'tu1' }),
    served(EVENTFUL_SITE, at(), { kind: 'sensor-rezeroed', takeup: 'tu2', side: 'right', position_mm: 70 }),
    served(EVENTFUL_SITE, at(), { kind: 'correction', replaces: 'nut', turns: 2 }),
  ];
  return entries.filter(() => noise.even() < 0.7);
}
