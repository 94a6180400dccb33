/** A stretch of time in which a conveyor runs, or stands, whatever its shifts say. */
export interface ForcedStretch {
  readonly fromMs: number;
  readonly toMs: number;
  readonly running: boolean;
}
