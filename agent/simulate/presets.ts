import { travelPerWear } from '../flow/takeup/travel.js';
import type { Conveyor, Site, Takeup } from '../site/site.js';
import { defaultScenario, conveyorWith, type ConveyorOverrides } from './default-scenario.js';
import type { ConveyorScenario, PlantScenario, TransportScenario } from './scenario.js';
import type { PlantTrouble } from './trouble.js';
import { NEVER, RIGHTLY, workOn, type PlantWork, type WorkRecord } from './work.js';

/** The stretch of time that a scenario is laid out for. */
export interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}

/** A scenario that has a name. */
interface Preset {
  readonly name: string;
  /** What happens, in one line. */
  readonly summary: string;
  readonly overrides: (conveyor: Conveyor, at: Moment) => ConveyorOverrides;
  readonly transport?: Partial<TransportScenario>;
}

/** The instant at a share of the span, 0 to 1, to the whole second. */
type Moment = (share: number) => number;

const HOUR_MS = 3600_000;
/** Room that a removal leaves at the inner stop, as a share of the stroke. */
const INNER_ROOM = 0.06;

/** One repeat taken out half-way, greased and looked at before. */
function shortened(conveyor: Conveyor, at: Moment, record: WorkRecord): PlantWork[] {
  const removal = { kind: 'chain-removed', pitches: conveyor.chain.repeatPitches } as const;
  return [
    workOn(conveyor.id, at(0.25), { kind: 'lubricated' }),
    workOn(conveyor.id, at(0.3), { kind: 'inspected', rock: 'ok', restraintNuts: 'out' }),
    workOn(conveyor.id, at(0.5), removal, record),
  ];
}

/** The elongation to begin with so that each carriage is far enough out for a repeat to be taken out half-way. */
function roomToShorten(conveyor: Conveyor): { readonly wear: { readonly elongationPct: number } } {
  const { chain, takeups } = conveyor;
  const nominalMm = chain.pitches * chain.pitchMm;
  const shares = travelPerWear(
    nominalMm,
    chain.stiffnessKn === undefined ? undefined : 1000 * chain.stiffnessKn,
    takeups.map(({ gain, spring }) => ({ gain, springRateNPerMm: 2 * spring.perSide * spring.rateNPerMm })),
  );
  const lacking = takeups.map(({ reference, strokeMm }: Takeup, index) => {
    const share = shares[index] as number;
    const outMm = share * chain.repeatPitches * chain.pitchMm + INNER_ROOM * strokeMm;
    return Math.max(0, outMm - reference.positionMm) / share;
  });
  return { wear: { elongationPct: chain.wearAtReferencePct + (100 * Math.max(...lacking)) / nominalMm } };
}

function first({ takeups }: Conveyor): Takeup {
  return takeups[0] as Takeup;
}

/** Every preset, in the order in which people are shown them. */
export const PRESETS: readonly Preset[] = Object.freeze<Preset[]>([
  { name: 'healthy', summary: 'wear, heat and shifts; nothing is done and nothing goes wrong', overrides: () => ({}) },
  {
    name: 'serviced',
    summary: 'each chain is shortened by a repeat half-way, a nut is turned, and all is recorded',
    overrides: (conveyor, at) => {
      const takeup = first(conveyor);
      const nut = { kind: 'nut-turned', takeup: takeup.id, side: 'left', turns: 2 } as const;
      const nuts = takeup.nutLeadMm === undefined ? [] : [workOn(conveyor.id, at(0.75), nut)];
      return { ...roomToShorten(conveyor), works: [...shortened(conveyor, at, RIGHTLY), ...nuts] };
    },
  },
  {
    name: 'unrecorded',
    summary: 'each chain is shortened by a repeat half-way, and nobody writes it down',
    overrides: (conveyor, at) => ({ ...roomToShorten(conveyor), works: shortened(conveyor, at, NEVER) }),
  },
  {
    name: 'misrecorded',
    summary: 'each chain is shortened by a repeat half-way; the entry says two repeats, and is corrected a day later',
    overrides: (conveyor, at) => ({
      ...roomToShorten(conveyor),
      works: shortened(conveyor, at, {
        how: 'wrongly',
        pitches: 2 * conveyor.chain.repeatPitches,
        correctedAfterMs: 24 * HOUR_MS,
      }),
    }),
  },
  {
    name: 'new-chain',
    summary: 'each chain is replaced after a tenth of the time, and runs in',
    overrides: (conveyor, at) => {
      const { pitches, wearAtReferencePct } = conveyor.chain;
      // As many pitches as fill the same track when new.
      const fresh = Math.round(pitches * (1 + wearAtReferencePct / 100));
      return {
        wear: { runInTimes: 4, runInHours: 200 },
        works: [workOn(conveyor.id, at(0.1), { kind: 'chain-replaced', pitches: fresh })],
      };
    },
  },
  {
    name: 'wear-fast',
    summary: 'from two thirds on the chains wear three times as fast',
    overrides: troubled((_, at) => [{ kind: 'wear-fast', fromMs: at(2 / 3), toMs: at(1), times: 3 }]),
  },
  {
    name: 'chain-caught',
    summary: 'half-way a chain catches while running and pulls the carriage in, for three hours',
    overrides: troubled((_, at) => [
      { kind: 'chain-caught', fromMs: at(0.5), toMs: at(0.5) + 3 * HOUR_MS, chainMmPerMin: 6, mostChainMm: 60 },
    ]),
  },
  {
    name: 'chain-slack',
    summary: 'half-way so much chain comes free within seconds, and stays free',
    overrides: troubled((_, at) => [{ kind: 'chain-slack', fromMs: at(0.5), toMs: at(1), chainMm: 40, withinS: 4 }]),
  },
  {
    name: 'chain-parted',
    summary: 'half-way a chain parts; the drive trips, and it is mended four hours later',
    overrides: troubled((_, at) => [{ kind: 'chain-parted', fromMs: at(0.5), toMs: at(0.5) + 4 * HOUR_MS, withinS: 3, tripsAfterS: 12 }]),
  },
  {
    name: 'guide-seized',
    summary: 'from half-way on the guides of the first take-up hold its carriage',
    overrides: troubled((conveyor, at) => [
      { kind: 'guide-seized', takeup: first(conveyor).id, fromMs: at(0.5), toMs: at(1), slipsAtMm: 25, breathingShare: 0.02 },
    ]),
  },
  {
    name: 'skew-growing',
    summary: 'from a quarter on one side of the first take-up lags more and more',
    overrides: troubled((conveyor, at) => [
      {
        kind: 'guide-dragging',
        takeup: first(conveyor).id,
        side: 'left',
        fromMs: at(0.25),
        toMs: at(1),
        mmPerDay: 0.6,
        mostMm: 24,
      },
    ]),
  },
  {
    name: 'spring-tired',
    summary: 'a spring of the first take-up gives up length, and breaks at three quarters',
    overrides: troubled((conveyor, at) => {
      const on = { takeup: first(conveyor).id, side: 'right' } as const;
      return [
        { kind: 'spring-relaxing', ...on, fromMs: at(0.1), toMs: at(0.75), mmPerDay: 0.1 },
        { kind: 'spring-broken', ...on, fromMs: at(0.75), toMs: at(1), shareLeft: 0.4 },
      ];
    }),
  },
  {
    name: 'sensor-faults',
    summary: 'one sensor is noisy, spikes, drifts, goes flat, gives no numbers and is lost, one after the other',
    overrides: troubled((conveyor, at) => {
      const { left } = first(conveyor).sides;
      const signal = left.position.name;
      const stretch = (share: number): { readonly signal: string; readonly fromMs: number; readonly toMs: number } => ({
        signal,
        fromMs: at(share),
        toMs: at(share + 0.1),
      });
      return [
        { kind: 'sensor-noisy', ...stretch(0.2), times: 12 },
        { kind: 'sensor-spikes', ...stretch(0.35), share: 0.01, height: 30 },
        { kind: 'sensor-drift', ...stretch(0.5), perDay: 2 },
        { kind: 'sensor-flat', ...stretch(0.65) },
        { kind: 'not-a-number', ...stretch(0.8), share: 1 },
        { kind: 'signal-lost', signal, fromMs: at(0.92), toMs: at(0.97) },
      ];
    }),
  },
  {
    name: 'rough-transport',
    summary: 'readings are lost, doubled and come late; a clock is off, and there is a gap',
    overrides: troubled((conveyor, at) => [
      { kind: 'clock-off', signal: first(conveyor).sides.right.position.name, fromMs: at(0.4), toMs: at(0.5), byS: -90 },
      { kind: 'gap', fromMs: at(0.7), toMs: at(0.72) },
    ]),
    transport: { lostShare: 0.01, doubledShare: 0.005, lateShare: 0.02, lateS: 40 },
  },
]);

function troubled(troubles: (conveyor: Conveyor, at: Moment) => PlantTrouble[]): Preset['overrides'] {
  return (conveyor, at) => ({ troubles: troubles(conveyor, at) });
}

/** The scenario of a name, laid out over a stretch of time; undefined where there is no such name. */
export function presetScenario(name: string, site: Site, { fromMs, toMs }: Span): PlantScenario | undefined {
  const preset = PRESETS.find((candidate) => candidate.name === name);
  if (preset === undefined) return undefined;
  const at: Moment = (share) => Math.round((fromMs + share * (toMs - fromMs)) / 1000) * 1000;
  const base = defaultScenario(site);
  return {
    conveyors: Object.fromEntries(
      site.conveyors.map((conveyor) => {
        const usual = base.conveyors[conveyor.id] as ConveyorScenario;
        return [conveyor.id, conveyorWith(usual, preset.overrides(conveyor, at))];
      }),
    ),
    transport: { ...base.transport, ...preset.transport },
  };
}
