import { describe, expect, it } from 'vitest';
import type { BrokerLink } from '../../agent/io/broker-link.js';
import { Publisher } from '../../agent/live/publisher.js';
import { Pipeline } from '../../agent/pipeline.js';
import { START_MS, testSite } from '../flow/way/test-site.js';

const BEAT_MS = 50;

/** Beats in which both sides of every take-up are read at each; the beats at which each take-up's picture went out. */
function beats(takeups: number, count: number): ReadonlyMap<string, number[]> {
  const others = Array.from({ length: takeups - 1 }, (_, index) => ({ id: `tu${String(index + 2)}` }));
  const pipeline = new Pipeline(testSite({ others }));
  const went = new Map<string, number[]>();
  let beat = 0;
  const publishPicture = (topic: string): void => {
    went.set(topic, [...(went.get(topic) ?? []), beat]);
  };
  const link: Pick<BrokerLink, 'connected' | 'publishPicture'> = { connected: true, publishPicture };
  const publisher = new Publisher('works', 'agent', pipeline, link as BrokerLink);
  for (beat = 0; beat < count; beat++) {
    const timeMs = START_MS + beat * BEAT_MS;
    pipeline.signals.forEach((name, signal) => {
      if (name.endsWith('/position')) pipeline.advance({ kind: 'reading', signal, timeMs, raw: 100 + beat / 100 });
    });
    publisher.pictures(timeMs, beat * BEAT_MS);
  }
  return went;
}

describe('the pictures of take-ups that are read at one time', () => {
  it('go out spread over the beats, each twice a second, where there are hundreds', () => {
    const went = beats(160, 60);
    expect(went.size).toBe(160);
    const perBeat = new Map<number, number>();
    for (const times of went.values()) {
      for (const beat of times) perBeat.set(beat, (perBeat.get(beat) ?? 0) + 1);
      const apart = times.slice(1).map((beat, index) => beat - times[index]!);
      expect(Math.min(...apart)).toBeGreaterThanOrEqual(10);
      expect(Math.max(...apart)).toBeLessThanOrEqual(12);
    }
    expect(Math.max(...perBeat.values())).toBe(20);
  });

  it('go out at once where there are few', () => {
    const went = beats(6, 13);
    expect([...went.values()]).toEqual(Array.from({ length: 6 }, () => [0, 10]));
  });
});
