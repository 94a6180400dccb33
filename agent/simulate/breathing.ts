import { even, streamOf } from './hash-noise.js';
import type { BreathingScenario } from './scenario.js';

interface Wave {
  readonly mm: number;
  /** Rounds in one round of the loop, or per mm of chain; the other is 0. */
  readonly perLoop: number;
  readonly perMm: number;
  /** Of one round. */
  readonly phase: number;
}

/** A carriage's to-and-fro: waves along the way that the chain has travelled. */
export class Breathing {
  private readonly waves: readonly Wave[];

  constructor({ waves }: BreathingScenario, seed: number, takeup: string) {
    const stream = streamOf(seed, `${takeup} breathing`);
    this.waves = waves.map(({ mm, per }, index) => ({
      mm,
      perLoop: 'roundOfLoop' in per ? per.roundOfLoop : 0,
      perMm: 'chainMm' in per ? 1 / per.chainMm : 0,
      phase: even(stream, index),
    }));
  }

  /** mm of carriage, outwards. @param loopMm - length of the chain */
  at(travelMm: number, loopMm: number): number {
    let mm = 0;
    for (const { mm: amplitude, perLoop, perMm, phase } of this.waves) {
      const rounds = travelMm * (perMm + perLoop / loopMm) + phase;
      // A sine of a small angle is quick; of one that has been round a million times it is not.
      mm += amplitude * Math.sin(2 * Math.PI * (rounds - Math.floor(rounds)));
    }
    return mm;
  }
}
