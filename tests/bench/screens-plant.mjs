// The other process of the screens benchmark: a broker, the web server, and something that speaks for as many take-ups as asked for, each
// twice a second, everything known and everything moving.
import { Readable } from 'node:stream';
import { connectAsync } from 'mqtt';
import { agentStatusTopic, nowTopic } from '../../dist/agent/contract/topics.js';
import { ALARM_DEFINITIONS } from '../../dist/agent/flow/alarm/definitions.js';
import { ALARM_TEXTS } from '../../dist/agent/flow/alarm/texts.js';
import { signInOf } from '../../dist/agent/process/secrets.js';
import { readSite } from '../../dist/agent/site/read-site.js';
import { openSqliteReader } from '../../dist/agent/store/sqlite-reader.js';
import { openSqliteWriter } from '../../dist/agent/store/sqlite-writer.js';
import { createBroker } from '../../dist/broker/broker.js';
import { createWebServer } from '../../dist/web/server/web-server.js';

const EACH_MS = 500;
const HEARTBEAT_MS = 10_000;
const ON_A_LINE = 4;
const STROKES = [230, 305, 180, 460];
const SET = '{ set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }';

const [dataDir, count] = [process.argv[2], Number(process.argv[3])];
const places = Array.from({ length: count }, (_, i) => ({
  conveyor: `line${Math.floor(i / ON_A_LINE) + 1}`,
  takeup: `tu${(i % ON_A_LINE) + 1}`,
  strokeMm: STROKES[i % STROKES.length],
}));

const takeupText = ({ takeup, strokeMm }) => `
      - id: ${takeup}
        location: beside the washer, 4 m up
        wrap_deg: 180
        stroke_mm: ${strokeMm}
        spring: { free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12, per_side: 1 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides: { left: ${SET}, right: ${SET} }`;
const conveyorText = (id, number) => `
  - id: ${id}
    name: Line ${number + 1}
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2, min_tension_n: 250, max_tension_n: 4000 }
    takeups:${places
      .filter(({ conveyor }) => conveyor === id)
      .map(takeupText)
      .join('')}`;
const conveyors = [...new Set(places.map(({ conveyor }) => conveyor))];
const siteText = `site: { id: bench, name: Bench, timezone: Europe/Oslo, units: metric }\nconveyors:${conveyors.map(conveyorText).join('')}\n`;

/** A picture in which nothing is missing, so that everything there is gets drawn. */
function nowOf({ conveyor, takeup, strokeMm }, turn, atMs) {
  const time = new Date(atMs).toISOString();
  const positionMm = strokeMm * (0.4 + 0.2 * Math.sin(turn / 40)) + (turn % 7) / 5;
  const side = (off) => ({
    ...{ readingMm: positionMm + off, positionMm: positionMm + off / 2, positionAt: time },
    ...{ springMm: 230 + 10 * Math.sin(turn / 40) + off, forceN: 1260 + 5 * (turn % 11) },
  });
  return {
    ...{ version: 1, conveyor, takeup, time, running: true, positionMm, remainingMm: strokeMm - positionMm, skewMm: 1.2 },
    ...{ breathingMm: 2.4, dayRangeMm: [positionMm - 9, positionMm + 6], left: side(0.6), right: side(-0.6) },
    ...{ carriageForceN: 2556 + (turn % 13), strandTensionN: 1278 + (turn % 13), marginToSolidMm: 80, settledMm: positionMm },
    chain: {
      ...{ pitches: 3200, removedPitches: 4, elongationPct: 0.412, wearPerJointMm: 0.314, thermalMm: 46.2, elasticMm: -1.1 },
      provisional: false,
    },
    trend: {
      ...{ elongationPctPerDay: { value: 0.00052, low: 0.00041, high: 0.00063 }, travelMmPerDay: 0.63 },
      strokeOut: { date: '2031-09-12', early: '2031-07-30', late: '2031-11-20' },
      ...{ springSlack: null, wearLimit: null },
    },
    ...{ service: null, alarms: [] },
  };
}

const reading = readSite(siteText, 'bench.yaml');
if (!reading.ok) throw new Error(reading.faults.map(({ message }) => message).join('\n'));
const { site } = reading;
const broker = createBroker({ dataDir, tcpPort: 0, wsPort: 'off', scope: { siteId: site.id, signalTopics: [] } });
const url = `mqtt://127.0.0.1:${(await broker.start()).tcpPort}`;
const store = await openSqliteWriter({ dataDir, signals: [] });
await store.stop();
const web = createWebServer({
  ...{ site, dataDir, port: 0, broker: { url, ...(await signInOf(dataDir, 'web')) } },
  alarmList: { definitions: ALARM_DEFINITIONS, texts: ALARM_TEXTS },
  openHistory: () => openSqliteReader({ dataDir }),
  readingSeries: () => Promise.resolve('too-many'),
  exportReadings: () => Promise.resolve(Readable.from([])),
});
const started = await web.start();

const client = await connectAsync(url, { ...(await signInOf(dataDir, 'agent')), clientId: 'bench' });
const publish = (topic, message) => client.publish(topic, JSON.stringify(message), { retain: true });
const beat = () =>
  publish(agentStatusTopic(site.id, 'agent'), { version: 1, agent: 'agent', site: site.id, running: true, time: new Date().toISOString() });
// As an agent does it: all of them at once, twice a second.
let turn = 0;
setInterval(() => {
  turn += 1;
  const atMs = Date.now();
  places.forEach((place, i) => publish(nowTopic(site.id, place.conveyor, place.takeup), nowOf(place, turn + i, atMs)));
}, EACH_MS);
beat();
setInterval(beat, HEARTBEAT_MS);
process.send({ url: started.url, ...started.firstPassword });
