import { readFile } from 'node:fs/promises';
import { decoderOf } from '../flow/reading/decode.js';
import { TakelineFault } from '../process/fault.js';
import { sayWhy } from '../process/say-why.js';
import { ForeignRecording, type DecodeMessage } from '../recording/foreign/foreign-recording.js';
import type { OnReject } from '../recording/reading-batch.js';
import { formatFault } from '../site/format-fault.js';
import { readImportMap, type ImportMap } from '../site/import-map.js';
import { signalsOf, type Site } from '../site/site.js';

/** Reads a mapping file. @throws TakelineFault with every fault, a line each */
export async function importMapOf(path: string, site: Site): Promise<ImportMap> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    throw new TakelineFault('import-map-unreadable', `${path}: the mapping cannot be read (${sayWhy(error)}); check the name`);
  }
  return importMapFrom(text, path, site);
}

/** @throws TakelineFault with every fault, a line each */
export function importMapFrom(text: string, name: string, site: Site): ImportMap {
  const reading = readImportMap(
    text,
    name,
    signalsOf(site).map((signal) => signal.name),
  );
  if (reading.ok) return reading.map;
  throw new TakelineFault('import-map-refused', reading.faults.map(formatFault).join('\n'));
}

/** Opens a recording in somebody else's form; captured messages are decoded as the site's signals say. */
export function openForeign(path: string, map: ImportMap, site: Site, onReject: OnReject): ForeignRecording {
  const feeds = new Map<string, { readonly signal: number; readonly decode: ReturnType<typeof decoderOf> }[]>();
  const signals = signalsOf(site);
  signals.forEach((signal, index) => {
    feeds.set(signal.topic, [...(feeds.get(signal.topic) ?? []), { signal: index, decode: decoderOf(signal) }]);
  });
  const decode: DecodeMessage = (topic, payload, arrivalMs) =>
    (feeds.get(topic) ?? []).flatMap((feed) => {
      const decoded = feed.decode(payload, arrivalMs);
      if (decoded.ok) return [{ signal: feed.signal, timeMs: decoded.timeMs, value: decoded.raw }];
      return decoded.attributed ? [{ signal: feed.signal, timeMs: decoded.timeMs, value: NaN }] : [];
    });
  return new ForeignRecording({ path, map, known: signals.map(({ name }) => name), onReject, decode });
}
