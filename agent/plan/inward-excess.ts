/** Room that the carriage needs between its settled position and the inner stop, mm of carriage. */
export interface InwardExcess {
  readonly breathingMm: number;
  readonly coldContractionMm: number;
  readonly reversingDrawInMm: number;
  /** What a person asks for besides. */
  readonly besidesMm: number;
  readonly totalMm: number;
}

/**
 * The excess needed inwards (mechanics §8): the normal to-and-fro, what the chain contracts by when it cools, and what reversing draws in.
 *
 * The breathing counts whole although half of it goes either way: as a 5–95 % range it leaves out a tenth of the moves, and a carriage
 * on the inner stop gives the chain no more slack at all.
 *
 * @param breathingMm - 5–95 % range, mm of carriage
 * @param coldContractionMm - from how it stands now to its coldest, mm of carriage
 * @param reversingDrawInMm - see `reversing`, mm of carriage; 0 for a conveyor that runs one way
 * @param besidesMm - what a person asks for besides, mm of carriage
 */
export function inwardExcess(breathingMm: number, coldContractionMm: number, reversingDrawInMm: number, besidesMm = 0): InwardExcess {
  const totalMm = breathingMm + coldContractionMm + reversingDrawInMm + besidesMm;
  return { breathingMm, coldContractionMm, reversingDrawInMm, besidesMm, totalMm };
}

/**
 * How far the carriage comes in when the chain cools to its reference temperature, mm; 0 where it is colder than that.
 *
 * @param thermalMm - what heat adds to the chain now, mm of chain
 * @param carriagePerChainMm - travel of this carriage per mm of chain: 1/g, less where take-ups share it
 */
export function coldContractionMm(thermalMm: number, carriagePerChainMm: number): number {
  return Math.max(0, thermalMm) * carriagePerChainMm;
}
