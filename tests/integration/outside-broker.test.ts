import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { MqttClient } from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { agentStatusTopic, inFilter, inTopic, nowTopic, outFilter, requestFilter, requestTopic } from '../../agent/contract/topics.js';
import { type Role, signInOf } from '../../agent/process/secrets.js';
import { openCredentials } from '../../broker/credentials.js';
import { gather, signInWith } from './broker-client.js';
import { mosquittoAccess } from './mosquitto-access.js';
import { type Mosquitto, startMosquitto } from './mosquitto.js';

const SITE = 'alder-point';
const READING = inTopic(SITE, 'enamel/tu1/left/position');
const NOW = nowTopic(SITE, 'enamel', 'tu1');

describe('a broker of the plant in place of our own', () => {
  const folder = mkdtempSync(join(tmpdir(), 'takeline-outside-'));
  let mosquitto: Mosquitto;
  beforeAll(async () => {
    await openCredentials(folder);
    mosquitto = await startMosquitto(await mosquittoAccess(folder, folder, { siteId: SITE, signalTopics: ['plant/furnace/zone-3'] }));
  });
  afterAll(async () => {
    await mosquitto.stop();
    rmSync(folder, { recursive: true });
  });

  const as = async (role: Role): Promise<MqttClient> => signInWith(mosquitto.url, { ...(await signInOf(folder, role)) });

  it('carries a reading from sensor to agent, a picture from agent to web, a request from web to agent', async () => {
    const [sensor, agent, web] = await Promise.all([as('sensor'), as('agent'), as('web')]);
    const toAgent = gather(agent);
    const toWeb = gather(web);
    await agent.subscribeAsync([inFilter(SITE), requestFilter(SITE), 'plant/furnace/zone-3'], { qos: 1 });
    await web.subscribeAsync([outFilter(SITE), 'takeline/alder-point/agent/+/status'], { qos: 1 });
    await sensor.publishAsync(READING, 'reading', { qos: 1 });
    await sensor.publishAsync('plant/furnace/zone-3', 'zone', { qos: 1 });
    expect(await toAgent.first(2)).toEqual(['reading', 'zone']);
    await agent.publishAsync(NOW, 'picture', { qos: 1, retain: true });
    await agent.publishAsync(agentStatusTopic(SITE, 'edge-1'), 'status', { qos: 1, retain: true });
    expect(await toWeb.first(2)).toEqual(['picture', 'status']);
    await web.publishAsync(requestTopic(SITE, 'acknowledge'), 'request', { qos: 1 });
    expect(await toAgent.first(3)).toEqual(['reading', 'zone', 'request']);
  });

  it('can be given our rules: a forged picture reaches nobody, a sensor hears nothing', async () => {
    const [sensor, web] = await Promise.all([as('sensor'), as('web')]);
    const toSensor = gather(sensor);
    const toWeb = gather(web);
    await web.subscribeAsync([outFilter(SITE), inFilter(SITE)], { qos: 1 });
    // Some versions refuse the subscription, others deliver nothing for it.
    await sensor.subscribeAsync(READING, { qos: 1 }).catch(() => undefined);
    await sensor.publishAsync(NOW, 'forged', { qos: 1, retain: true });
    await sensor.publishAsync(READING, 'last', { qos: 1 });
    await toWeb.untilLast('last');
    await sensor.publishAsync(NOW, 'nothing came before this was acknowledged', { qos: 1 });
    expect(toWeb.texts).not.toContain('forged');
    expect(toSensor.texts).toEqual([]);
  });

  it('turns away a wrong password', async () => {
    await expect(signInWith(mosquitto.url, { username: 'sensor', password: 'guessed' })).rejects.toThrow(/Not authorized|Bad username/i);
  });
});
