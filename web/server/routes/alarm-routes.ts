import { Type } from 'typebox';
import type { AlarmPast } from '../alarm-past.js';
import type { AlarmsAnswer } from '../logic/answers.js';
import type { StandingEntry } from '../logic/live-messages.js';
import type { App } from '../plugins/app.js';

export interface AlarmRoutesParts {
  readonly past: AlarmPast;
  readonly standing: () => readonly StandingEntry[];
}

const NAME = Type.String({ minLength: 1, maxLength: 200 });
const RECENT_QUERY = Type.Object({
  conveyor: Type.Optional(NAME),
  takeup: Type.Optional(NAME),
  limit: Type.Optional(Type.String({ pattern: '^[1-9]\\d{0,2}$' })),
});
const USUAL_RECENT = 50;

/** Standing and recent alarms of a place, or of the whole site. */
export function alarmRoutes(app: App, { past, standing }: AlarmRoutesParts): void {
  app.get(
    '/api/alarms',
    { config: { permission: 'see' }, schema: { querystring: RECENT_QUERY } },
    async (request): Promise<AlarmsAnswer> => {
      const { conveyor, takeup, limit } = request.query;
      const place = { ...(conveyor === undefined ? {} : { conveyor }), ...(takeup === undefined ? {} : { takeup }) };
      const { events } = await past.page(place, Number(limit ?? USUAL_RECENT));
      return { standing: standing().filter((alarm) => isOf(alarm, place)), recent: events };
    },
  );
}

/** Whether an alarm is of a place; a place that names nothing is the whole site. */
export function isOf(alarm: StandingEntry, place: { readonly conveyor?: string; readonly takeup?: string }): boolean {
  return (place.conveyor ?? alarm.conveyor) === alarm.conveyor && (place.takeup ?? alarm.takeup) === alarm.takeup;
}
