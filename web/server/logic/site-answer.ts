import type { AlarmDefinition } from '../../../agent/flow/alarm/definition.js';
import type { AlarmText } from '../../../agent/flow/alarm/texts.js';
import type { AlarmKey, Priority } from '../../../agent/flow/alarm-key.js';
import type { Conveyor, Site, Takeup } from '../../../agent/site/site.js';

/** A take-up with its set-points worked out, by alarm key and in the alarm's own unit; an alarm that is off has none. */
export interface TakeupAnswer extends Takeup {
  readonly setPoints: Readonly<Partial<Record<AlarmKey, number>>>;
}

export interface ConveyorAnswer extends Conveyor {
  readonly takeups: readonly TakeupAnswer[];
}

/** What is said of an alarm wherever it stands. */
export interface AlarmAnswer extends AlarmText {
  readonly alarm: AlarmKey;
  readonly priority: Priority;
  readonly unit: string;
}

/** The alarm list and its words. */
export interface AlarmList {
  readonly definitions: readonly AlarmDefinition[];
  readonly texts: Readonly<Record<AlarmKey, AlarmText>>;
}

/** `GET /api/site`: the site as read, without people's addresses and servers, with what screens draw limits and words from. */
export interface SiteAnswer extends Omit<Site, 'filter' | 'people' | 'rota' | 'paging'> {
  readonly conveyors: readonly ConveyorAnswer[];
  readonly alarms: readonly AlarmAnswer[];
}

/** @param alarmList - handed in, since only the wiring knows the step that owns it */
export function siteAnswer(site: Site, { definitions, texts }: AlarmList): SiteAnswer {
  const { id, name, timezone, units } = site;
  return {
    ...{ id, name, timezone, units },
    conveyors: site.conveyors.map((conveyor) => ({
      ...conveyor,
      takeups: conveyor.takeups.map((takeup) => ({ ...takeup, setPoints: setPointsOf(takeup, conveyor, definitions) })),
    })),
    alarms: definitions.map(({ key, priority, unit }) => ({ alarm: key, priority, unit, ...texts[key] })),
  };
}

function setPointsOf(takeup: Takeup, { chain }: Conveyor, definitions: readonly AlarmDefinition[]): TakeupAnswer['setPoints'] {
  const context = { takeup, chain, spring: takeup.spring };
  const points: Partial<Record<AlarmKey, number>> = {};
  for (const { key, field, limit } of definitions) {
    const own = field === null ? undefined : takeup.limits[key]?.[field];
    const point = own ?? limit(context);
    if (point !== undefined) points[key] = point;
  }
  return points;
}
