import type { Pipeline } from '../pipeline.js';

/** One take-up takes some ms: readings come in between. */
const EVERY_MS = 500;

/**
 * Works out, one take-up after the other, what the end of the day asks for of its past: a start does not wait for it, and the end of the
 * day finds it at hand. @returns how to end it
 */
export function prepareDays({ ways }: Pipeline): () => void {
  const places = ways.flatMap(({ account, takeups }) => takeups.map(({ index }) => ({ account, index })));
  const timer = setInterval(() => {
    const next = places.shift();
    if (next === undefined) clearInterval(timer);
    else next.account.prepareDay(next.index);
  }, EVERY_MS);
  return () => {
    clearInterval(timer);
  };
}
