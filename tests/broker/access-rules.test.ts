import { describe, expect, it } from 'vitest';
import {
  agentStatusTopic,
  alarmTopic,
  answerFilter,
  answerTopic,
  inFilter,
  inTopic,
  nowTopic,
  outFilter,
  requestFilter,
  requestTopic,
} from '../../agent/contract/topics.js';
import type { Role } from '../../agent/process/secrets.js';
import { createAccess, permissionsOf } from '../../broker/access-rules.js';

const SITE = 'alder-point';
const CUSTOM = 'plant/furnace/zone-3';
const access = createAccess({ siteId: SITE, signalTopics: [CUSTOM] });

const READING = inTopic(SITE, 'enamel/tu1/left/position');
const NOW = nowTopic(SITE, 'enamel', 'tu1');
const ALARM = alarmTopic(SITE, 'enamel', 'tu1', 'spring-solid');
const STATUS = agentStatusTopic(SITE, 'edge-1');
const REQUEST = requestTopic(SITE, 'acknowledge');
const ANSWER = answerTopic(SITE, 'r-17');
const ALL = [READING, CUSTOM, NOW, ALARM, STATUS, REQUEST, ANSWER, '$SYS/uptime', 'elsewhere'];

describe('what a role may publish', () => {
  it.each<[Role, readonly string[]]>([
    ['sensor', [READING, CUSTOM]],
    ['agent', [NOW, ALARM, STATUS, ANSWER]],
    ['web', [REQUEST]],
  ])('%s', (role, allowed) => {
    expect(ALL.filter((topic) => access.mayPublish(role, topic))).toEqual(allowed);
    expect(ALL.filter((topic) => access.mayPublish(role, topic))).toEqual(allowed);
  });

  it('ends at the site', () => {
    expect(access.mayPublish('sensor', inTopic('other-works', 'enamel/tu1/left/position'))).toBe(false);
    expect(createAccess({ siteId: '+', signalTopics: [] }).mayPublish('sensor', inTopic('other-works', 'a/running'))).toBe(true);
  });

  it('is not widened where a site file puts a signal on a topic of the agent or the web', () => {
    const { publish } = permissionsOf('sensor', { siteId: SITE, signalTopics: [NOW, REQUEST, 'takeline/other-works/done/x', CUSTOM] });
    expect(publish).toEqual([inFilter(SITE), CUSTOM]);
  });

  it('stays the same however many topics are tried', () => {
    for (let index = 0; index < 50_000; index++) access.mayPublish('sensor', `elsewhere/${index}`);
    expect([access.mayPublish('sensor', READING), access.mayPublish('sensor', 'elsewhere/7')]).toEqual([true, false]);
  });
});

describe('what a role may subscribe to', () => {
  it.each<[Role, readonly string[]]>([
    ['sensor', []],
    ['agent', [inFilter(SITE), requestFilter(SITE), READING, CUSTOM]],
    ['web', [inFilter(SITE), outFilter(SITE), answerFilter(SITE), 'takeline/alder-point/agent/+/status', READING, CUSTOM]],
  ])('%s', (role, allowed) => {
    const asked = [
      ...[inFilter(SITE), outFilter(SITE), requestFilter(SITE), answerFilter(SITE), 'takeline/alder-point/agent/+/status', READING, CUSTOM],
      ...['#', 'takeline/#', 'takeline/+/in/#', '+/#', '$SYS/#', 'plant/#', 'takeline/alder-point/agent/#'],
    ];
    expect(asked.filter((filter) => access.maySubscribe(role, filter))).toEqual(allowed);
  });
});
