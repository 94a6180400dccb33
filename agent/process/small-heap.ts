import v8 from 'node:v8';

/**
 * Keeps this process's heap close about what it holds, for a program that runs for years on a small box: the young generation stays as
 * small as it begins (2 MB, where V8 would let it grow to 32). Costs some per cent of processor time. To be called before much is
 * allocated: what the young generation has grown to by then it does not give back.
 */
export function keepYoungHeapSmall(): void {
  v8.setFlagsFromString('--semi-space-growth-factor=1');
}

/**
 * The same of the old generation, which is then gone through sooner. To be called when the site file is read and before what was saved is
 * taken up: the first leaves so much garbage at once that it would be looked for again and again, and what the old generation may grow to
 * is set each time it was gone through, so that after the start it would grow by a fifth before anything is given back.
 */
export function keepOldHeapSmall(): void {
  v8.setFlagsFromString('--optimize-for-size');
}
