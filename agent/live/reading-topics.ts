import { decoderOf, type Decode, type Decoded } from '../flow/reading/decode.js';
import { signalsOf, type Site } from '../site/site.js';

/** One signal that is fed by a topic. */
export interface Feed {
  /** The signal's place among the site's. */
  readonly signal: number;
  readonly name: string;
  readonly decode: Decode;
}

/** Which signals each topic feeds: several where they point into one payload. */
export function readingTopics(site: Site): ReadonlyMap<string, readonly Feed[]> {
  const topics = new Map<string, Feed[]>();
  signalsOf(site).forEach((signal, index) => {
    const feeds = topics.get(signal.topic) ?? [];
    feeds.push({ signal: index, name: signal.name, decode: decoderOf(signal) });
    topics.set(signal.topic, feeds);
  });
  return topics;
}

/** A payload as one signal reads it. */
export interface HeardReading {
  readonly decoded: Decoded;
  /** The payload says when the reading was made; otherwise its time is that of its arrival. */
  readonly ownTime: boolean;
}

/** Reads a payload for one of the signals that its topic feeds. */
export function hearReading(feed: Feed, payload: string, arrivalMs: number): HeardReading {
  const decoded = feed.decode(payload, NaN);
  return Number.isNaN(decoded.timeMs) ? { decoded: { ...decoded, timeMs: arrivalMs }, ownTime: false } : { decoded, ownTime: true };
}
