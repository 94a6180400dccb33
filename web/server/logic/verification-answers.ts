/** What the carriage says of a job, after an hour of running. */
export interface VerificationAnswer {
  readonly verdict:
    | 'not-yet' // it must run an hour first
    | 'agrees'
    | 'count-differs' // the carriage says another number of pitches than was written down
    | 'plan-differs' // it says what was written down, and that is not what was planned
    | 'springs-differ' // the count is right, and the springs are not as planned
    | 'cannot-say';
  /** As a person is told it: `4 links were planned, the carriage says 2: check the count.` */
  readonly sentence: string;
  /** Of the position that it rests on; absent where there is none. */
  readonly asOf?: string;
  readonly pitches?: { readonly planned: number | null; readonly recorded: number; readonly seen: number };
  /** mm, positive outwards; heat taken into account in what was expected. */
  readonly move?: { readonly expectedMm: number; readonly seenMm: number };
  readonly springs?: {
    readonly left: { readonly expectedMm: number; readonly seenMm: number };
    readonly right: { readonly expectedMm: number; readonly seenMm: number };
  };
}
