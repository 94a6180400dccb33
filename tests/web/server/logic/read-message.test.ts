import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { agentStatusTopic, alarmTopic, answerTopic, eventTopic, nowTopic, signalAlarmTopic } from '../../../../agent/contract/topics.js';
import { readMessage } from '../../../../web/server/logic/read-message.js';
import { alarmMessageOf, nowOf } from '../../a-takeup.js';

const SITE = 'alder-point';
const STATUS = { version: 1, agent: 'agent', site: SITE, running: true, time: '2026-03-02T09:00:00Z' };
const ANSWER = { request: 'r1', ok: true, message: 'done' };
const NOW_TOPIC = nowTopic(SITE, 'line1', 'tu1');

const read = (topic: string, message: unknown) => readMessage(topic, JSON.stringify(message), 7_000);

describe('a message from the broker', () => {
  it('is taken for what its topic says', () => {
    expect(read(NOW_TOPIC, nowOf())).toEqual({ kind: 'input', input: { kind: 'now', message: nowOf() } });
    expect(read(alarmTopic(SITE, 'line1', 'tu1', 'stroke-end'), alarmMessageOf())).toMatchObject({
      kind: 'input',
      input: { kind: 'alarm' },
    });
    expect(read(signalAlarmTopic(SITE, 'line1/running', 'signal-lost'), alarmMessageOf())).toMatchObject({ input: { kind: 'alarm' } });
    expect(read(agentStatusTopic(SITE, 'agent'), STATUS)).toEqual({
      kind: 'input',
      input: { kind: 'status', message: STATUS, atMs: 7_000 },
    });
    expect(read(answerTopic(SITE, 'r1'), ANSWER)).toEqual({ kind: 'answer', answer: ANSWER });
  });

  it('tells that findings or the log have changed, by the event of either', () => {
    const event = { version: 1, id: 'f1', time: '2026-03-02T09:00:00Z', conveyor: 'line1', takeup: 'tu1', detail: {} };
    for (const what of ['finding', 'service'])
      expect(read(eventTopic(SITE, 'line1', 'tu1'), { ...event, event: what })).toEqual({ kind: 'work', conveyor: 'line1' });
    expect(read(eventTopic(SITE, 'line1', 'tu1'), { ...event, event: 'alarm' })).toEqual({ kind: 'other' });
    expect(read(eventTopic(SITE, 'line1', 'tu1'), {})).toEqual({ kind: 'unreadable' });
  });

  it('is let go where it is a retained one that was taken away', () => {
    expect(readMessage(NOW_TOPIC, '', 0)).toEqual({ kind: 'other' });
  });

  it('may say more than this screen knows', () => {
    expect(read(NOW_TOPIC, { ...nowOf(), humidity: 0.4 })).toMatchObject({ kind: 'input' });
  });

  it.each([
    ['another version', { ...nowOf(), version: 2 }],
    ['a side left out', { ...nowOf(), left: undefined }],
    ['a text for a figure', { ...nowOf(), positionMm: '96' }],
    ['an alarm without priority', { ...nowOf(), alarms: [{ alarm: 'stroke-end' }] }],
    ['no object', 7],
  ])('is not believed with %s', (_, message) => {
    expect(read(NOW_TOPIC, message)).toEqual({ kind: 'unreadable' });
  });

  it('never breaks anything, whatever it holds', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.json()), (payload) => {
        expect(['unreadable', 'other']).toContain(readMessage(NOW_TOPIC, payload, 0).kind);
      }),
    );
  });
});
