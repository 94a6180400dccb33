/**
 * Keeps the screen from going dark, where the browser can and the page came over a safe line; asked for again whenever the page is
 * shown again, since a browser lets go of it meanwhile.
 *
 * @returns what lets go of it
 */
export function keepAwake(): () => void {
  let wanted = true;
  let lock: { release: () => Promise<void> } | undefined;
  const ask = async (): Promise<void> => {
    if (!('wakeLock' in navigator) || document.visibilityState !== 'visible') return;
    try {
      lock = await navigator.wakeLock.request('screen');
      if (!wanted) await lock.release();
    } catch {
      // The device saves its battery, or forbids it: the screen does what it does.
      lock = undefined;
    }
  };
  const shown = (): void => void ask();
  document.addEventListener('visibilitychange', shown);
  void ask();
  return () => {
    wanted = false;
    document.removeEventListener('visibilitychange', shown);
    void lock?.release().catch(() => undefined);
  };
}
