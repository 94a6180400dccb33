import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { alarmLine, findingLine, SETTLED_HEADER, settledRow } from '../../agent/contract/replay-files.js';
import type { ServiceEntry } from '../../agent/contract/service-entry.js';
import { decoderOf, type Decode } from '../../agent/flow/reading/decode.js';
import type { Output } from '../../agent/flow/output.js';
import { Pipeline } from '../../agent/pipeline.js';
import { readServiceEntries } from '../../agent/recording/service-entries.js';
import { readSiteFile } from '../../agent/site/read-site-file.js';
import { signalsOf, type Site } from '../../agent/site/site.js';
import { resumed, sorted } from '../flow/way/run.js';
import { replayCase, replayCases, type ReplayCase } from '../replay/case-files.js';

/** A message as it comes from a sensor: the payload says value and time, or the value alone and the time is its arrival. */
interface Message {
  readonly signal: number;
  readonly payload: string;
  readonly arrivalMs: number;
}

interface Plant {
  readonly site: Site;
  readonly messages: readonly Message[];
  readonly entries: readonly ServiceEntry[];
}

/** The rows of a case as the messages they were. Rows out of order would be late live, and are no matter here. */
async function plantOf({ folder }: ReplayCase, payloadOf: (value: string, time: string) => string): Promise<Plant> {
  const reading = await readSiteFile(join(folder, 'site.yaml'));
  if (!reading.ok) throw new Error(`${folder}: the site has faults`);
  const places = new Map(signalsOf(reading.site).map(({ name }, index) => [name, index]));
  const messages = readFileSync(join(folder, 'recording.csv'), 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((row): Message => {
      const [time = '', signal = '', value = ''] = row.split(',');
      return { signal: places.get(signal) ?? -1, payload: payloadOf(value, time), arrivalMs: Date.parse(time) };
    });
  const service = join(folder, 'service.jsonl');
  const entries = await readServiceEntries(service, reading.site).catch(() => []);
  return { site: reading.site, messages, entries: entries.map(({ entry }) => entry) };
}

/** What an agent does with messages: ticks while time passes, entries as they are made, each payload decoded and handed on. */
function lived({ site, messages, entries }: Plant, restartsEvery: number, ticking: boolean): Output[] {
  const decoders: readonly Decode[] = signalsOf(site).map(decoderOf);
  let pipeline = new Pipeline(site);
  const outputs: Output[] = [];
  const firstMs = messages[0]?.arrivalMs ?? 0;
  const waiting = [...entries].sort((a, b) => a.timeMs - b.timeMs);
  messages.forEach(({ signal, payload, arrivalMs }, i) => {
    if (i > 0 && i % restartsEvery === 0) pipeline = resumed(site, pipeline);
    for (let tickMs = Math.ceil(Math.max(pipeline.timeMs, firstMs) / 1000) * 1000; ticking && tickMs <= arrivalMs; tickMs += 1000) {
      outputs.push(...pipeline.advance({ kind: 'tick', timeMs: tickMs }));
    }
    while ((waiting[0]?.timeMs ?? Infinity) <= arrivalMs) {
      const entry = waiting.shift()!;
      outputs.push(...pipeline.advance({ kind: 'service', timeMs: entry.timeMs, entry }));
    }
    const decoded = decoders[signal]!(payload, arrivalMs);
    if (!decoded.ok && !decoded.attributed) return;
    outputs.push(...pipeline.advance({ kind: 'reading', signal, timeMs: decoded.timeMs, raw: decoded.ok ? decoded.raw : NaN }));
  });
  return [...outputs, ...pipeline.finish()];
}

/** Outputs as the files of a replay have them. */
function filesOf(outputs: readonly Output[]): Record<'alarms.jsonl' | 'settled.csv' | 'findings.jsonl', string> {
  const { alarms, days, findings } = sorted(outputs);
  const text = (lines: readonly string[]): string => lines.map((line) => `${line}\n`).join('');
  const conditions = alarms.filter(({ change }) => change === 'raised' || change === 'cleared');
  return {
    'alarms.jsonl': text(conditions.toSorted((a, b) => a.timeMs - b.timeMs).map(alarmLine)),
    'settled.csv': text([SETTLED_HEADER, ...days.map(settledRow)]),
    'findings.jsonl': text(findings.map(findingLine)),
  };
}

/** Rows that are out of order by less than a minute are sorted in by a replay; live they are late. */
const OUT_OF_ORDER: ReadonlySet<string> = new Set(['bad-rows', 'disorder-and-duplicates']);
const CASES = replayCases('fixtures/replay').filter(({ name }) => !OUT_OF_ORDER.has(name));

describe.each(CASES)('the plant of $name', (one) => {
  it('says live, with a tick every second, what its replay says, byte for byte', async () => {
    const replayed = await replayCase(one);
    const plant = await plantOf(one, (value) => value);
    expect(replayed).toMatchObject(filesOf(lived(plant, Infinity, true)));
  });

  it('says the same where its payloads bring their own time', async () => {
    const replayed = await replayCase(one);
    const plant = await plantOf(one, (value, time) => `{"value":${value},"time":"${time}"}`);
    expect(replayed).toMatchObject(filesOf(lived(plant, Infinity, false)));
  });

  it('says the same where the agent is stopped and started again after every hundred readings', async () => {
    const replayed = await replayCase(one);
    const plant = await plantOf(one, (value) => value);
    expect(replayed).toMatchObject(filesOf(lived(plant, 97, true)));
  });
});
