import { describe, expect, it } from 'vitest';
import { createQuietLog } from '../../broker/quiet-log.js';

describe('the quiet log', () => {
  it('says a line once a minute, and then how often it was held back', () => {
    const said: string[] = [];
    let nowMs = 0;
    const log = createQuietLog(
      (line) => said.push(line),
      () => nowMs,
    );
    for (nowMs = 0; nowMs <= 60_000; nowMs += 1_000) log('wrong password');
    expect(said).toEqual(['wrong password', 'wrong password (and 59 times more since it was last said)']);
  });

  it('says every different line at once', () => {
    const said: string[] = [];
    const log = createQuietLog(
      (line) => said.push(line),
      () => 0,
    );
    for (let index = 0; index < 3000; index++) log(`sensor ${String(index)}`);
    expect(said).toHaveLength(3000);
  });
});
