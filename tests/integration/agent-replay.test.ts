import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runCommand } from '../../agent/commands/run-command.js';
import { COMMANDS } from '../../agent/commands/table.js';
import { alarmLine } from '../../agent/contract/replay-files.js';
import { inTopic } from '../../agent/contract/topics.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { agentFolder, Ear, HandClock, startAgent, until } from './agent-plant.js';
import { BEGIN_MS, SITE_ID, SITE_TEXT } from './agent-site.js';
import { type Mosquitto, startMosquitto } from './mosquitto.js';
import { buildCommand, TakelineProcess } from './takeline-process.js';

const SECOND = 1000;
/** Twenty-five minutes of the plant. */
const SECONDS = 1500;
/** The clock follows the readings at this distance. */
const STEP_SECONDS = 50;
const OPENED_S = 1300;

let mosquitto: Mosquitto;
beforeAll(async () => {
  [mosquitto] = await Promise.all([startMosquitto(['max_queued_messages 0']), buildCommand()]);
});
afterAll(() => mosquitto.stop());

interface Message {
  readonly topic: string;
  readonly payload: string;
  /** How many signals it is a reading of. */
  readonly readings: number;
}

/** The carriage of `enamel/tu1`: it breathes, jumps 20 mm at 300 s, creeps to its outer stop and back. */
function carriageMm(second: number): number {
  const breathing = 2 * Math.sin(second / 7) + 0.3 * Math.sin(second * 12.9898);
  const creep = second < 900 ? 0 : Math.min(103, (second - 900) / 2) - (second < 1250 ? 0 : Math.min(40, (second - 1250) * 2));
  return 100 + breathing + (second < 300 ? 0 : 20) + creep;
}

/** What the plant's sensors publish in one second: among it a spike, a sensor that fails, one that falls silent, a repeated reading. */
function plantAt(second: number): readonly Message[] {
  const time = BEGIN_MS + second * SECOND;
  const reading = (signal: string, value: unknown): Message => ({
    topic: inTopic(SITE_ID, signal),
    payload: JSON.stringify({ value, time }),
    readings: 1,
  });
  const mm = Number(carriageMm(second).toFixed(2));
  const current = second >= 400 && second < 420 ? 3.2 : Number((12 + Math.sin(second / 5) / 8).toFixed(3));
  const silent = second >= 600 && second < 700;
  return [
    ...(silent ? [] : [reading('enamel/tu1/left/position', second === 200 ? 190 : mm)]),
    reading('enamel/tu1/right/position', Number((mm - 1).toFixed(2))),
    ...(second % 100 === 0 ? [reading('enamel/tu1/right/position', Number((mm - 1).toFixed(2)))] : []),
    ...(second % 2 === 0
      ? [
          {
            topic: 'plant/enamel/tu2',
            payload: JSON.stringify({ at: new Date(time).toISOString(), travel: [60, 60.5 + (second % 3)] }),
            readings: 2,
          },
        ]
      : []),
    reading('dryer/tu1/left/position', current),
    reading('dryer/tu1/right/position', 12),
    ...(second % 10 === 0 && second < 1000 ? [reading('enamel/furnace/temperature', 180 + (second % 7))] : []),
  ];
}

async function run(...args: readonly string[]): Promise<number> {
  const io = { out: () => undefined, err: (line: string) => void expect.fail(line) };
  return runCommand(COMMANDS, args, io);
}

describe('the same readings, live and from the recording that was made of them', () => {
  it('give the same alarms, byte for byte', async () => {
    const folder = agentFolder();
    const [site, recording, entries, out] = ['site.yaml', 'day.csv', 'service.jsonl', 'replayed'].map((name) => join(folder, name)) as [
      string,
      string,
      string,
      string,
    ];
    writeFileSync(site, SITE_TEXT);
    const recorder = new TakelineProcess(['record', '--site', site, '--out', recording, '--data', folder, '--broker', mosquitto.url]);
    await recorder.says(`recording 6 topics to ${recording}; stop with Ctrl-C`);
    const clock = new HandClock();
    const ear = await Ear.afresh(mosquitto.url);
    const { agent, dataDir } = await startAgent({ url: mosquitto.url, clock });

    const service: Readonly<Record<string, unknown>>[] = [];
    const enter = async (second: number, kind: string): Promise<void> => {
      clock.ms = BEGIN_MS + second * SECOND;
      const entry = { time: new Date(clock.ms).toISOString(), conveyor: 'enamel', takeup: 'tu1', kind };
      service.push(entry);
      expect(await ear.ask('service-entry', { entry })).toMatchObject({ ok: true });
    };
    let readings = 0;
    for (let from = 0; from < SECONDS; from += STEP_SECONDS) {
      if (from === OPENED_S) await enter(from, 'service-opened');
      if (from === OPENED_S + STEP_SECONDS) await enter(from, 'service-closed');
      const messages = Array.from({ length: STEP_SECONDS }, (_, i) => plantAt(from + i)).flat();
      for (const { topic, payload } of messages) ear.client.publish(topic, payload, { qos: 0 });
      readings += messages.reduce((sum, message) => sum + message.readings, 0);
      await until(() => expect(agent.readingCount).toBe(readings));
      clock.ms = BEGIN_MS + (from + STEP_SECONDS - 1) * SECOND;
    }
    await agent.stop();
    expect(await recorder.end('SIGINT')).toMatchObject({ code: 0 });
    expect(recorder.out).toContain(`${String(readings)} readings in ${recording}`);

    writeFileSync(entries, `${service.map((entry) => JSON.stringify(entry)).join('\n')}\n`);
    expect(await run('replay', site, recording, '--service', entries, '--out', out)).toBe(0);
    const reader = await openSqliteReader({ dataDir });
    const { events, total } = await reader.alarmEvents({ changes: ['raised', 'cleared'], limit: 1000 });
    await reader.stop();
    const live = [...events].reverse().map((event) => `${alarmLine(event)}\n`);
    expect(live).toHaveLength(total);
    expect(live.join('')).toBe(readFileSync(join(out, 'alarms.jsonl'), 'utf8'));
    const keys = new Set(events.map(({ alarm }) => alarm));
    expect([...keys].sort()).toEqual(['carriage-jump', 'signal-fault', 'signal-lost', 'spring-slack', 'stroke-end', 'stroke-low']);
    const summary = JSON.parse(readFileSync(join(out, 'summary.json'), 'utf8')) as { recording: { readings: number; rejected: object } };
    expect(summary.recording).toMatchObject({ readings, rejected: { unparsable: 0, late: 0, duplicate: SECONDS / 100, spike: 1 } });
  });
});
