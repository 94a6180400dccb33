/**
 * Waits for Ctrl-C or SIGTERM. A second one while stopping ends the process at once.
 * @returns the signal's name
 */
export function untilStopped(): Promise<NodeJS.Signals> {
  return new Promise((resolve) => {
    const stop = (signal: NodeJS.Signals): void => {
      for (const name of ['SIGINT', 'SIGTERM'] as const) {
        process.off(name, stop);
        process.on(name, () => process.exit(130));
      }
      resolve(signal);
    };
    process.on('SIGINT', stop);
    process.on('SIGTERM', stop);
  });
}
