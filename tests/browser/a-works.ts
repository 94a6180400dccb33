import { readFileSync } from 'node:fs';
import type { SignalNow, TakeupNow } from '../../agent/contract/messages.js';
import type { SettledDayOutput } from '../../agent/flow/output.js';
import { readSite } from '../../agent/site/read-site.js';
import type { Plant } from '../web/a-plant.js';
import { loggedOf, Service } from '../web/a-service.js';
import { alarmOf, nowOf } from '../web/a-takeup.js';
import { plantDay } from '../web/plant-day.js';
import { startPlantWithScreens } from './web-screens.js';

const DEMO = readFileSync(new URL('../../agent/demo/alder-point.yaml', import.meta.url), 'utf8');
const HEARTBEAT_MS = 10_000;

/** The invented works with all its conveyors, an agent that answers, and one take-up near the end of its stroke. */
export interface Works {
  readonly plant: Plant;
  readonly service: Service;
  /** What the left sensor of the enamel line sends. */
  readonly reads: { raw: number };
  /** The enamel line's take-up says how it is. */
  tell(different?: Partial<TakeupNow>): Promise<void>;
  stop(): Promise<void>;
}

export const TRAVEL_ALARM = 'Travel nearly used up, Enamel furnace line, tu1';

export async function startWorks(): Promise<Works> {
  const reading = readSite(DEMO, 'alder-point.yaml');
  if (!reading.ok) throw new Error('the demo site can be read');
  const service = new Service();
  const reads = { raw: 12.3 };
  service.entries = [
    loggedOf({ id: 'n', time: '2026-02-01T08:00:00Z', conveyor: 'enamel', takeup: 'tu1', kind: 'note', text: 'guard is bent', by: 'ola' }),
  ];
  const plant = await startPlantWithScreens({
    site: reading.site,
    siteText: DEMO,
    history: { ...service.history, settledDays: () => Promise.resolve([60, 40, 20, 2, 1].map(dayOf)) },
  });
  const tell = async (different: Partial<TakeupNow> = {}): Promise<void> => plant.agent.now({ ...enamelNow(), ...different });
  plant.agent.answer = (verb, message) => {
    if (verb === 'signals') return { ok: true, message: 'as they stand', detail: { signals: [signalNow(reads.raw)] } };
    if (verb !== 'acknowledge') return service.answer?.(verb, message) ?? { ok: true, message: 'done' };
    void tell({ alarms: [alarmOf({ state: 'acknowledged' })] });
    return { ok: true, message: 'acknowledged' };
  };
  for (const { id, takeups } of reading.site.conveyors)
    for (const takeup of takeups) await plant.agent.now(nowOf({ conveyor: id, takeup: takeup.id, time: new Date().toISOString() }));
  await tell();
  await plant.agent.heartbeat();
  const beating = setInterval(() => void plant.agent.heartbeat(), HEARTBEAT_MS);
  return {
    ...{ plant, service, reads, tell },
    stop: async () => {
      clearInterval(beating);
      await plant.stop();
    },
  };
}

function enamelNow(): TakeupNow {
  const time = new Date().toISOString();
  const side = { readingMm: 240, positionMm: 240, positionAt: time, springMm: 372, forceN: 836 };
  const place = { conveyor: 'enamel', takeup: 'tu1', positionMm: 240, settledMm: 240, settledAt: time };
  return { ...nowOf({ time, ...place, left: side, right: side }), remainingMm: 20, alarms: [alarmOf()] };
}

/** The left sensor of the enamel line, half a second ago. */
function signalNow(raw: number): SignalNow {
  const at = new Date(Date.now() - 500).toISOString();
  return { signal: 'enamel/tu1/left/position', raw, value: 240, state: 'good', at, rejected: {} };
}

function dayOf(daysAgo: number): SettledDayOutput {
  return {
    ...{
      kind: 'settled-day',
      date: plantDay(daysAgo),
      conveyor: 'enamel',
      takeup: 'tu1',
      windows: 40,
      positionMm: 240 - daysAgo / 2,
      skewMm: 1,
      breathingMm: 2,
    },
    ...{ thermalMm: 40, elasticMm: -1, pitches: 3200, elongationPct: 0.4 - daysAgo * 0.0005, wearPerJointMm: 0.3 },
    ...{ springLeftMm: 372, springRightMm: 372, strandTensionN: 1270, flag: 'value' },
  };
}
