import { describe, expect, it } from 'vitest';
import { PictureTerm } from '../../agent/live/picture-term.js';
import { Pipeline } from '../../agent/pipeline.js';
import { START_MS, testSite } from '../flow/way/test-site.js';

const BEAT_MS = 50;

/** A take-up that is looked at every beat, its picture made whenever it is due. @returns when pictures went out, and of which readings */
function beats(untilMs: number, readingsAtMs: Readonly<Record<string, readonly number[]>>): [atMs: number, of: string][] {
  const pipeline = new Pipeline(testSite());
  const term = new PictureTerm(pipeline.ways[0]!, 0);
  const sent: [number, string][] = [];
  for (let wallMs = 0; wallMs < untilMs; wallMs += BEAT_MS) {
    for (const [signal, times] of Object.entries(readingsAtMs)) {
      const at = times.find((timeMs) => timeMs > wallMs - BEAT_MS && timeMs <= wallMs);
      if (at !== undefined) pipeline.read(pipeline.signals.indexOf(signal), START_MS + at, 40, []);
    }
    term.look(wallMs);
    if (!term.due) continue;
    const { left, right } = pipeline.ways[0]!.tracks[0]!;
    const picture = [left, right].map(({ positionSampler }) => positionSampler.lastMs - START_MS).join(' ');
    const changed = picture !== sent.at(-1)?.[1];
    term.sent(changed, wallMs);
    if (changed) sent.push([wallMs, picture]);
  }
  return sent;
}

describe('the picture of a take-up', () => {
  it('goes out a beat after a reading was seen, with what the other side read at the same time', () => {
    const sent = beats(2000, { 'line/tu1/left/position': [1210], 'line/tu1/right/position': [1260] });
    expect(sent).toEqual([
      [0, 'NaN NaN'],
      [1300, '1210 1260'],
    ]);
  });

  it('goes out at most twice a second, however quickly readings come', () => {
    const quick = Array.from({ length: 100 }, (_, i) => i * 50);
    const sent = beats(5000, { 'line/tu1/left/position': quick });
    expect(sent).toHaveLength(10);
    for (const [i, [atMs]] of sent.slice(1).entries()) expect(atMs - sent[i]![0]).toBeGreaterThanOrEqual(500);
  });

  it('that was the same as the last when it was looked at keeps no reading waiting', () => {
    // Looked at, and the same, at 500 ms: the reading seen at 600 ms does not wait until 1000 ms for it.
    expect(beats(1200, { 'line/tu1/left/position': [560] })[1]).toEqual([650, '560 NaN']);
  });

  it('waits with what came too soon after the last for half a second from it', () => {
    expect(beats(2000, { 'line/tu1/left/position': [560, 710] }).map(([atMs]) => atMs)).toEqual([0, 650, 1150]);
  });
});
