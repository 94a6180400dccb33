import { describe, expect, it } from 'vitest';
import {
  agentStatusTopic,
  alarmTopic,
  ANY_SITE,
  answerTopic,
  eventTopic,
  inFilter,
  inTopic,
  isTopicLevel,
  nowTopic,
  parseAgentStatusTopic,
  parseAnswerTopic,
  parseOutTopic,
  parseRequestTopic,
  requestTopic,
  signalAlarmTopic,
} from '../../agent/contract/topics.js';

const SITE = 'alder-point';

describe('topics of the contract', () => {
  it('are those that others rely on', () => {
    expect(inTopic(SITE, 'enamel/tu1/left/position')).toBe('takeline/alder-point/in/enamel/tu1/left/position');
    expect(nowTopic(SITE, 'enamel', 'tu1')).toBe('takeline/alder-point/out/enamel/tu1/now');
    expect(alarmTopic(SITE, 'enamel', 'tu1', 'spring-solid')).toBe('takeline/alder-point/out/enamel/tu1/alarm/spring-solid');
    expect(eventTopic(SITE, 'enamel', 'tu1')).toBe('takeline/alder-point/out/enamel/tu1/event');
    expect(agentStatusTopic(SITE, 'edge-1')).toBe('takeline/alder-point/agent/edge-1/status');
    expect(requestTopic(SITE, 'acknowledge')).toBe('takeline/alder-point/do/acknowledge');
    expect(answerTopic(SITE, 'r-17')).toBe('takeline/alder-point/done/r-17');
  });

  it.each([
    [nowTopic(SITE, 'enamel', 'tu1'), { kind: 'now', siteId: SITE, conveyor: 'enamel', takeup: 'tu1' }],
    [
      alarmTopic(SITE, 'enamel', 'tu1', 'stroke-end'),
      { kind: 'alarm', siteId: SITE, conveyor: 'enamel', takeup: 'tu1', key: 'stroke-end' },
    ],
    [eventTopic(SITE, 'enamel', 'tu1'), { kind: 'event', siteId: SITE, conveyor: 'enamel', takeup: 'tu1' }],
    [eventTopic(SITE, 'enamel'), { kind: 'event', siteId: SITE, conveyor: 'enamel' }],
    [
      signalAlarmTopic(SITE, 'enamel/furnace/temperature', 'signal-lost'),
      { kind: 'signal-alarm', siteId: SITE, conveyor: 'enamel', signal: 'enamel/furnace/temperature', key: 'signal-lost' },
    ],
    [
      signalAlarmTopic(SITE, 'enamel/running', 'signal-lost'),
      { kind: 'signal-alarm', siteId: SITE, conveyor: 'enamel', signal: 'enamel/running', key: 'signal-lost' },
    ],
  ])('%s is read back as what it was made of', (topic, said) => {
    expect(parseOutTopic(topic)).toEqual(said);
  });

  it('tell a take-up called "signal" from a signal', () => {
    expect(parseOutTopic(alarmTopic(SITE, 'enamel', 'signal', 'signal-lost'))).toMatchObject({ kind: 'alarm', takeup: 'signal' });
    expect(parseOutTopic(signalAlarmTopic(SITE, 'enamel/alarm', 'signal-lost'))).toMatchObject({
      kind: 'signal-alarm',
      signal: 'enamel/alarm',
    });
  });

  it.each([
    'takeline/alder-point/out/enamel/tu1/alarm/no-such-alarm',
    'takeline/alder-point/out/enamel/tu1',
    'takeline/alder-point/out/enamel//now',
    'takeline/alder-point/out/enamel/tu1/now/more',
    'takeline/alder-point/in/enamel/tu1/now',
    'elsewhere/alder-point/out/enamel/tu1/now',
    '',
  ])('%s is none of theirs', (topic) => {
    expect(parseOutTopic(topic)).toBeUndefined();
  });

  it('give back agent, verb and request', () => {
    expect(parseAgentStatusTopic(agentStatusTopic(SITE, 'edge-1'))).toEqual({ siteId: SITE, agentId: 'edge-1' });
    expect(parseRequestTopic(requestTopic(SITE, 'shelve'))).toEqual({ siteId: SITE, verb: 'shelve' });
    expect(parseAnswerTopic(answerTopic(SITE, 'r-17'))).toEqual({ siteId: SITE, request: 'r-17' });
    expect(parseRequestTopic(answerTopic(SITE, 'r-17'))).toBeUndefined();
    expect(parseAgentStatusTopic('takeline/alder-point/agent/edge-1/state')).toBeUndefined();
  });

  it('refuse what would make another topic of it', () => {
    expect(() => answerTopic(SITE, '../do/reset')).toThrow(RangeError);
    expect(() => nowTopic('+', 'enamel', 'tu1')).toThrow(RangeError);
    expect(() => signalAlarmTopic(SITE, 'running', 'signal-lost')).toThrow(RangeError);
    expect(['r-17', '', 'a/b', '+', 'a#', 'a\0'].map(isTopicLevel)).toEqual([true, false, false, false, false, false]);
  });

  it('can be asked for at one site or at all', () => {
    expect(inFilter(SITE)).toBe('takeline/alder-point/in/#');
    expect(inFilter(ANY_SITE)).toBe('takeline/+/in/#');
  });
});
