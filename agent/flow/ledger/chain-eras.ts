import type { Conveyor } from '../../site/site.js';
import { elasticMm, nominalLengthMm, thermalMm, trackConstantMm } from './closure.js';
import type { PlacedEntry } from './placed-entry.js';
import { sideEras } from './side-eras.js';
import type { Step } from './window-record.js';

/** The chain and the constant of its track from a time on. */
export interface ChainEra {
  readonly fromMs: number;
  readonly pitches: number;
  readonly trackMm: number;
  readonly removedPitches: number;
  /** When the chain that runs now was put in; −Infinity for the one of the reference. */
  readonly newChainMs: number;
  /** An unexplained step lies before it: ε is provisional. */
  readonly provisional: boolean;
  /** The trend does not run across a change of this number. */
  readonly stretch: number;
}

/** Entries and unexplained steps in order of their effect, turned into the history of the chain. */
export function chainEras(
  conveyor: Conveyor,
  referenceTensionN: number,
  entries: readonly PlacedEntry[],
  unexplained: readonly Step[],
): ChainEra[] {
  const { chain } = conveyor;
  const nominal = nominalLengthMm(chain.pitches, chain);
  const reference = conveyor.takeups.reduce((sum, takeup) => sum + takeup.gain * takeup.reference.positionMm, 0);
  const eras: ChainEra[] = [
    {
      fromMs: -Infinity,
      pitches: chain.pitches,
      trackMm: trackConstantMm(nominal, chain.wearAtReferencePct / 100, reference, 0, 0),
      removedPitches: 0,
      newChainMs: -Infinity,
      provisional: false,
      stretch: 0,
    },
  ];
  const changes = [
    ...entries.map((placed) => ({ atMs: placed.atMs, placed, step: undefined })),
    ...unexplained.map((step) => ({ atMs: step.toMs, placed: undefined, step })),
  ].sort((a, b) => a.atMs - b.atMs);
  for (const { atMs, placed, step } of changes) {
    const last = eras[eras.length - 1] as ChainEra;
    const next = step ? { provisional: true, stretch: last.stretch + 1 } : changeOf(conveyor, referenceTensionN, last, placed);
    if (next !== undefined) eras.push({ ...last, ...next, fromMs: atMs });
  }
  return eras;
}

function changeOf(conveyor: Conveyor, referenceTensionN: number, last: ChainEra, placed: PlacedEntry): Partial<ChainEra> | undefined {
  const { chain } = conveyor;
  const { entry, anchor, atMs } = placed;
  switch (entry.kind) {
    case 'chain-removed':
      return { pitches: last.pitches - entry.pitches, removedPitches: last.removedPitches + entry.pitches };
    case 'chain-inserted':
      // ε is the average over old and new chain from here on: a break in level, so the trend starts anew.
      return { pitches: last.pitches + entry.pitches, stretch: last.stretch + 1 };
    case 'chain-replaced': {
      const nominal = nominalLengthMm(entry.pitches, chain);
      const trackMm = anchor
        ? trackConstantMm(
            nominal,
            0,
            anchor.takenUpMm,
            thermalMm(conveyor, nominal, anchor.zoneHeat, anchor.ambientHeat),
            elasticMm(chain, nominal, anchor.tensionN, referenceTensionN),
          )
        : NaN;
      return { pitches: entry.pitches, trackMm, removedPitches: 0, newChainMs: atMs, provisional: false, stretch: last.stretch + 1 };
    }
    case 'sensor-rezeroed': {
      const takeup = conveyor.takeups.find(({ id }) => id === entry.takeup);
      if (takeup === undefined) return undefined;
      // The mean of the sides moves by half of one side's shift; ε stays, so the constant takes it up.
      const shiftMm = sideEras(takeup, entry.side, [placed]).at(-1)?.shiftMm ?? 0;
      return { trackMm: last.trackMm - (takeup.gain * shiftMm) / 2 };
    }
    default:
      return undefined;
  }
}
