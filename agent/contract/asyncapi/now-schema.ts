import { Type } from 'typebox';
import { ALARM_KEYS, ALARM_STATES, PRIORITIES } from '../../flow/alarm-key.js';
import type { ForecastDate, SideNow, SpringNow, StandingAlarm, TakeupNow, TrendNow } from '../messages.js';
import { conveyor, count, day, figure, number, numberOrNull, side, takeup, text, time, version } from './parts.js';
import { describing } from './same.js';

export const springNow = describing<SpringNow>()(
  Type.Object(
    {
      freeMm: number('Free length, mm.'),
      rateNPerMm: number('Rate, N/mm.'),
      solidMm: number('Length with coils touching, mm.'),
      clearanceMm: number('Sum of the least coil clearances, mm: solid + clearance is the shortest usable length.'),
      perSide: count('Equal springs in parallel on the side.'),
      totalCoils: Type.Optional(number('Coils in all. Absent where the wire is not known.')),
    },
    { description: 'The spring in force on a side: that of the site file, or the one that a service entry put in.' },
  ),
);

export const sideNow = describing<SideNow>()(
  Type.Object(
    {
      readingMm: figure('The last good reading as it came, mm from the inner stop: not judged, not smoothed.'),
      positionMm: figure('Smoothed position, mm from the inner stop.'),
      positionAt: Type.Optional(time('When the last good reading of the position was made. Absent before the first.')),
      springMm: figure('Length of the spring, mm: by its own sensor, or followed from the carriage.'),
      forceN: figure('Force of the springs of this side, N.'),
      spring: Type.Optional(springNow),
    },
    { description: 'One side of the carriage.' },
  ),
);

export const forecastDate = describing<ForecastDate>()(
  Type.Object(
    {
      date: day('When it is reached at the present rate.'),
      early: day('The early end of the interval.'),
      late: Type.Union([Type.String({ format: 'date' }), Type.Null()], { description: 'The late end; null where it is open.' }),
    },
    { description: 'A day to come, with its interval.' },
  ),
);

const dateOrNull = Type.Union([forecastDate, Type.Null()]);

export const trendNow = describing<TrendNow>()(
  Type.Object(
    {
      elongationPctPerDay: Type.Union(
        [Type.Object({ value: number('% a day.'), low: number('% a day, low end.'), high: number('% a day, high end.') }), Type.Null()],
        { description: 'Wear: growth of the elongation, % a day, with its interval. Null while there is no trend.' },
      ),
      travelMmPerDay: numberOrNull('Outward travel by wear, mm a day. Null while there is no trend.'),
      strokeOut: dateOrNull,
      springSlack: dateOrNull,
      wearLimit: dateOrNull,
      first: Type.Optional(
        Type.Object(
          {
            what: Type.Enum(['stroke-out', 'spring-slack', 'wear-limit'], { description: 'Which of the dates comes first.' }),
            callsFor: Type.Enum(['shorten', 're-tension', 'replace'], { description: 'The work it calls for.' }),
          },
          { description: 'The earliest of the three dates. Absent where there is none.' },
        ),
      ),
      why: Type.Optional(text('Why there is no forecast, in a sentence. Absent where there is one.')),
    },
    {
      description:
        'Where wear leads: the days on which the stroke is used up, the springs are slack, and the wear limit is reached. Null: no forecast.',
    },
  ),
);

/** Fields of a standing alarm, which its retained message has too. */
export const standingFields = {
  alarm: Type.Enum([...ALARM_KEYS], { description: 'Key of the alarm in the alarm list.' }),
  state: Type.Enum([...ALARM_STATES], { description: 'State of IEC 62682 / ISA-18.2.' }),
  priority: Type.Enum([...PRIORITIES], { description: 'Priority, most pressing first.' }),
  side: Type.Optional(side),
  signal: Type.Optional(text("Name of the signal, where it is a signal's alarm.")),
  since: time('When it was raised last.'),
  value: figure('The value that raised or cleared it, in `unit`.'),
  limit: numberOrNull('The set-point, in `unit`; null where the alarm has none.'),
  unit: Type.String({ description: 'Unit of value and limit; empty where they have none.' }),
  shelved: Type.Optional(
    Type.Object(
      { by: text('Who shelved it.'), why: text('Why.'), since: time('Since when.'), until: time('When it comes back by itself.') },
      { description: 'A person set it aside for a while. Present while the state is `shelved`.' },
    ),
  ),
  outOfService: Type.Optional(
    Type.Object(
      { by: text('Who took it out of service.'), why: text('Why.'), since: time('Since when.') },
      { description: 'A person took it out of service. Present while the state is `out-of-service`.' },
    ),
  ),
  suppressedBy: Type.Optional(
    Type.Enum(['service', 'standing', ...ALARM_KEYS], {
      description:
        'What suppresses it: a service open on the take-up, the conveyor that stands, or the alarm that says more. Present while the ' +
        'state is `suppressed-by-design`.',
    }),
  ),
  active: Type.Optional(
    Type.Boolean({
      description:
        'Whether its condition is there, where the state does not say so: present while it is shelved, suppressed by design or out of ' +
        'service; and, false, while it is latched.',
    }),
  ),
};

export const standingAlarm = describing<StandingAlarm>()(Type.Object(standingFields, { description: 'An alarm that is not normal.' }));

export const takeupNow = describing<TakeupNow>()(
  Type.Object(
    {
      version,
      conveyor,
      takeup,
      time: time('When this picture was made.'),
      running: Type.Union([Type.Boolean(), Type.Null()], { description: 'Whether the conveyor runs; null where that is not known.' }),
      positionMm: figure('Smoothed position of the carriage, mean of both sides, mm from the inner stop.'),
      remainingMm: figure('Travel left outwards, mm.'),
      skewMm: figure('Left less right, smoothed, mm.'),
      breathingMm: figure('Normal to-and-fro: 5 to 95 % range over the last settled window, mm.'),
      dayRangeMm: Type.Union([Type.Tuple([Type.Number(), Type.Number()]), Type.Null()], {
        description: 'Furthest in and furthest out of the last 24 h, spike-free, mm. Null before the first reading.',
      }),
      left: sideNow,
      right: sideNow,
      carriageForceN: figure('Force of the springs of both sides on the carriage, N.'),
      strandTensionN: figure('Tension of one strand, N.'),
      marginToSolidMm: figure('Travel left inwards until the tighter spring is solid, mm.'),
      settledMm: figure('Position of the last settled window, mm from the inner stop.'),
      settledAt: Type.Optional(time('When the settled window ended. Absent before the first.')),
      settledRunHours: Type.Optional(number('Hours that the conveyor had run by then. Absent before the first settled window.')),
      runHours: Type.Optional(number('Hours that the conveyor has run since the agent first listened, rounded up to a tenth.')),
      chain: Type.Object(
        {
          pitches: count('Pitches in the circuit, by the service entries.'),
          removedPitches: count('Pitches taken out since the reference, or since the chain was replaced.'),
          elongationPct: figure('Elongation by wear, %.'),
          wearPerJointMm: figure('The same for each joint, mm.'),
          thermalMm: figure('Chain that heat has added since the reference, mm.'),
          elasticMm: figure('Chain that pull has added since the reference, mm.'),
          provisional: Type.Boolean({ description: 'A step that no service entry explains lies in these figures.' }),
        },
        { description: 'The account of chain length.' },
      ),
      trend: trendNow,
      service: Type.Union(
        [
          Type.Object({ since: time('When it was opened.'), by: Type.Optional(text('Who opened it. Absent where that was not said.')) }),
          Type.Null(),
        ],
        { description: 'The service that is open on this take-up; null where none is.' },
      ),
      alarms: Type.Array(standingAlarm, { description: 'Alarms of this take-up that are not normal.' }),
    },
    { description: 'The present picture of one take-up.' },
  ),
);
