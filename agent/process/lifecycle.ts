/** Something that is started once and stopped once. */
export interface Lifecycle<Started> {
  /** Starts it; asked again, gives the same answer. If starting fails, what had begun is undone before the failure is handed on. */
  start(): Promise<Started>;
  /**
   * Undoes everything, last first. Harmless when asked twice, before a start, or while the start is still under way.
   *
   * @throws CleanUpFailure when clean-ups failed; all the others have still been run
   */
  stop(): Promise<void>;
}

/** Registers how to undo what was just begun; `name` is what a failure of it is reported under. */
export type OnStop = (name: string, cleanUp: () => void | Promise<void>) => void;

/** Some clean-ups failed. `failures` has each with its name. */
export class CleanUpFailure extends AggregateError {
  override readonly name = 'CleanUpFailure';

  constructor(readonly failures: readonly { readonly name: string; readonly cause: unknown }[]) {
    super(
      failures.map(({ cause }) => cause),
      `could not be stopped cleanly: ${failures.map(({ name, cause }) => `${name} (${cause instanceof Error ? cause.message : String(cause)})`).join('; ')}`,
    );
  }
}

/**
 * The one life cycle of the program's parts: create, start, stop.
 *
 * @param begin - does the starting, and says with `onStop` after each thing begun how it is undone
 */
export function createLifecycle<Started>(begin: (onStop: OnStop) => Promise<Started>): Lifecycle<Started> {
  const cleanUps: { readonly name: string; readonly cleanUp: () => void | Promise<void> }[] = [];
  let starting: Promise<Started> | undefined;
  let stopping: Promise<void> | undefined;

  const undo = async (): Promise<void> => {
    const failures: { readonly name: string; readonly cause: unknown }[] = [];
    for (let last = cleanUps.pop(); last !== undefined; last = cleanUps.pop()) {
      try {
        await last.cleanUp();
      } catch (cause) {
        failures.push({ name: last.name, cause });
      }
    }
    if (failures.length > 0) throw new CleanUpFailure(failures);
  };

  const beginOrUndo = async (): Promise<Started> => {
    try {
      return await begin((name, cleanUp) => cleanUps.push({ name, cleanUp }));
    } catch (failure) {
      // Why it did not start matters more than what could not be undone after it.
      await undo().catch(() => undefined);
      throw failure;
    }
  };

  return {
    start: () => {
      if (stopping) return Promise.reject(new Error('what was stopped is not started again: create a new one'));
      return (starting ??= beginOrUndo());
    },
    stop: () =>
      (stopping ??= (async () => {
        await starting?.catch(() => undefined);
        await undo();
      })()),
  };
}
