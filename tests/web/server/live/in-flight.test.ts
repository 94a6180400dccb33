import { describe, expect, it } from 'vitest';
import { InFlight } from '../../../../web/server/live/in-flight.js';

describe('a second click while the first is being done', () => {
  it('waits for the first and does nothing of its own', async () => {
    const inFlight = new InFlight<string>();
    let times = 0;
    let finish: (outcome: string) => void = () => undefined;
    const begin = () =>
      new Promise<string>((resolve) => {
        times += 1;
        finish = resolve;
      });
    const first = inFlight.do('r', 'entry', begin);
    const second = inFlight.do('r', 'entry', begin);
    finish('recorded');
    expect([await first, await second]).toEqual(['recorded', 'recorded']);
    expect(times).toBe(1);
  });

  it('is refused where it asks for something else under the same name', async () => {
    const inFlight = new InFlight<string>();
    const first = inFlight.do('r', 'entry', () => Promise.resolve('recorded'));
    expect(inFlight.do('r', 'another', () => Promise.resolve('recorded'))).toBeUndefined();
    await first;
    expect(await inFlight.do('r', 'another', () => Promise.resolve('done'))).toBe('done');
  });

  it('may try again after a failure', async () => {
    const inFlight = new InFlight<string>();
    await expect(inFlight.do('r', 'entry', () => Promise.reject(new Error('away')))).rejects.toThrow('away');
    expect(await inFlight.do('r', 'entry', () => Promise.resolve('recorded'))).toBe('recorded');
  });
});
