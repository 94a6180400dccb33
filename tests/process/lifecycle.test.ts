import { describe, expect, it } from 'vitest';
import { CleanUpFailure, createLifecycle } from '../../agent/process/lifecycle.js';

describe('life cycle of a part', () => {
  it('undoes what was begun, last first', async () => {
    const undone: string[] = [];
    const part = createLifecycle((onStop) => {
      onStop('store', () => void undone.push('store'));
      onStop('listener', () => void undone.push('listener'));
      return Promise.resolve(1883);
    });
    expect(await part.start()).toBe(1883);
    await part.stop();
    expect(undone).toEqual(['listener', 'store']);
  });

  it('undoes each thing once, however often it is stopped', async () => {
    let closed = 0;
    const part = createLifecycle((onStop) => {
      onStop('store', () => {
        closed++;
      });
      return Promise.resolve();
    });
    await part.start();
    await Promise.all([part.stop(), part.stop()]);
    await part.stop();
    expect(closed).toBe(1);
  });

  it('runs the other clean-ups where one fails, and says which failed', async () => {
    const undone: string[] = [];
    const part = createLifecycle((onStop) => {
      onStop('store', () => void undone.push('store'));
      onStop('listener', () => {
        throw new Error('already gone');
      });
      return Promise.resolve();
    });
    await part.start();
    const failure = await part.stop().catch((error: unknown) => error);
    expect(undone).toEqual(['store']);
    expect(failure).toBeInstanceOf(CleanUpFailure);
    expect(failure).toHaveProperty('message', 'could not be stopped cleanly: listener (already gone)');
  });

  it('undoes what had begun when the start fails, and hands on why', async () => {
    const undone: string[] = [];
    const part = createLifecycle((onStop) => {
      onStop('store', () => {
        undone.push('store');
        throw new Error('disk full');
      });
      return Promise.reject(new Error('port taken'));
    });
    await expect(part.start()).rejects.toThrow('port taken');
    expect(undone).toEqual(['store']);
    await expect(part.stop()).resolves.toBeUndefined();
  });

  it('waits for a start under way before it undoes', async () => {
    const happened: string[] = [];
    let opened: () => void = () => undefined;
    const part = createLifecycle(async (onStop) => {
      await new Promise<void>((resolve) => (opened = resolve));
      happened.push('opened');
      onStop('store', () => void happened.push('closed'));
    });
    const started = part.start();
    const stopped = part.stop();
    opened();
    await Promise.all([started, stopped]);
    expect(happened).toEqual(['opened', 'closed']);
  });

  it('starts once, and never after a stop', async () => {
    let starts = 0;
    const part = createLifecycle(() => Promise.resolve(++starts));
    expect(await Promise.all([part.start(), part.start()])).toEqual([1, 1]);
    await part.stop();
    await expect(part.start()).rejects.toThrow('not started again');
  });

  it('is not troubled by a stop before any start', async () => {
    await expect(createLifecycle(() => Promise.resolve()).stop()).resolves.toBeUndefined();
  });
});
