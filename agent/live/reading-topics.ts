import { decoderOf, type Decode } from '../flow/reading/decode.js';
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
