import { Type, type TProperties } from 'typebox';
import { Compile } from 'typebox/compile';
import type { AgentStatus, AlarmMessage, AnswerMessage, EventMessage, TakeupNow } from '../../../agent/contract/messages.js';

/**
 * What must be there of a message before it reaches a screen. An agent of another version may say more; one that says
 * less, or something else under the same name, is not believed.
 */
const object = <T extends TProperties>(properties: T) => Type.Object(properties, { additionalProperties: true });

const FIGURE = Type.Union([Type.Number(), object({ unknown: Type.String() })]);
const NUMBER_OR_NULL = Type.Union([Type.Number(), Type.Null()]);

const STANDING = {
  alarm: Type.String(),
  state: Type.String(),
  priority: Type.String(),
  since: Type.String(),
  value: FIGURE,
  limit: NUMBER_OR_NULL,
  unit: Type.String(),
  shelved: Type.Optional(object({ by: Type.String(), why: Type.String(), since: Type.String(), until: Type.String() })),
  outOfService: Type.Optional(object({ by: Type.String(), why: Type.String(), since: Type.String() })),
  suppressedBy: Type.Optional(Type.String()),
  active: Type.Optional(Type.Boolean()),
};

const SPRING = object({
  freeMm: Type.Number(),
  rateNPerMm: Type.Number(),
  solidMm: Type.Number(),
  clearanceMm: Type.Number(),
  perSide: Type.Number(),
  totalCoils: Type.Optional(Type.Number()),
});

const SIDE = object({
  readingMm: FIGURE,
  positionMm: FIGURE,
  positionAt: Type.Optional(Type.String()),
  springMm: FIGURE,
  forceN: FIGURE,
  spring: Type.Optional(SPRING),
});

const FORECAST_DATE = Type.Union([
  Type.Null(),
  object({ date: Type.String(), early: Type.String(), late: Type.Union([Type.String(), Type.Null()]) }),
]);

const TREND = object({
  elongationPctPerDay: Type.Union([Type.Null(), object({ value: Type.Number(), low: Type.Number(), high: Type.Number() })]),
  travelMmPerDay: NUMBER_OR_NULL,
  strokeOut: FORECAST_DATE,
  springSlack: FORECAST_DATE,
  wearLimit: FORECAST_DATE,
});

const CHAIN = object({
  pitches: Type.Number(),
  removedPitches: Type.Number(),
  elongationPct: FIGURE,
  wearPerJointMm: FIGURE,
  thermalMm: FIGURE,
  elasticMm: FIGURE,
  provisional: Type.Boolean(),
});

const NOW = Compile(
  object({
    version: Type.Literal(1),
    conveyor: Type.String(),
    takeup: Type.String(),
    time: Type.String(),
    running: Type.Union([Type.Boolean(), Type.Null()]),
    positionMm: FIGURE,
    remainingMm: FIGURE,
    skewMm: FIGURE,
    breathingMm: FIGURE,
    dayRangeMm: Type.Union([Type.Null(), Type.Tuple([Type.Number(), Type.Number()])]),
    left: SIDE,
    right: SIDE,
    carriageForceN: FIGURE,
    strandTensionN: FIGURE,
    marginToSolidMm: FIGURE,
    settledMm: FIGURE,
    chain: CHAIN,
    trend: TREND,
    service: Type.Union([Type.Null(), object({ since: Type.String() })]),
    alarms: Type.Array(object(STANDING)),
  }),
);
const ALARM = Compile(
  object({ ...STANDING, version: Type.Literal(1), conveyor: Type.String(), takeup: Type.Optional(Type.String()), time: Type.String() }),
);
const STATUS = Compile(object({ version: Type.Literal(1), agent: Type.String(), running: Type.Boolean(), time: Type.String() }));
const EVENT = Compile(object({ version: Type.Literal(1), id: Type.String(), conveyor: Type.String(), event: Type.String() }));
const ANSWER = Compile(object({ request: Type.String(), ok: Type.Boolean(), message: Type.String() }));

/** `out/<conveyor>/<takeup>/now`. */
export function isTakeupNow(value: unknown): value is TakeupNow {
  return NOW.Check(value);
}

/** `out/<conveyor>/<takeup>/alarm/<KEY>`. */
export function isAlarmMessage(value: unknown): value is AlarmMessage {
  return ALARM.Check(value);
}

/** `agent/<id>/status`. */
export function isAgentStatus(value: unknown): value is AgentStatus {
  return STATUS.Check(value);
}

/** `out/<conveyor>/<takeup>/event`. */
export function isEvent(value: unknown): value is EventMessage {
  return EVENT.Check(value);
}

/** `done/<request>`. */
export function isAnswer(value: unknown): value is AnswerMessage {
  return ANSWER.Check(value);
}
