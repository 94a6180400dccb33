import type { BenchAlarm, BenchDay, BenchFinding, BenchReject, BenchResult } from '../../contract/bench.js';
import { roundedNumber } from '../../contract/replay-files.js';
import type { AlarmOutput, FindingOutput, SettledDayOutput } from '../../flow/output.js';
import type { ReplayResult } from '../replay.js';
import { summaryOf } from '../summary.js';

/** What a replay found, as the bench page has it: numbers that JSON can carry, and null where there is none. */
export function benchResult(result: ReplayResult, rejects: readonly BenchReject[], leftOut: number): BenchResult {
  const { site } = result.pipeline;
  return {
    firstMs: result.firstMs,
    lastMs: result.lastMs,
    timezone: site.timezone,
    takeups: site.conveyors.flatMap(({ id, takeups }) =>
      takeups.map((takeup) => ({ conveyor: id, takeup: takeup.id, location: takeup.location, strokeMm: takeup.strokeMm })),
    ),
    summary: summaryOf(result),
    alarms: result.alarms.flatMap(alarmOf),
    findings: result.findings.map(findingOf),
    days: result.days.map(dayOf),
    rejected: result.rejected,
    rejects,
    leftOut,
  };
}

function findingOf({ timeMs, fromMs, toMs, conveyor, takeup, finding, moveMm, text, state }: FindingOutput): BenchFinding {
  return { timeMs, fromMs, toMs, conveyor, takeup, finding, moveMm, text, ...(state === undefined ? {} : { state }) };
}

function alarmOf(output: AlarmOutput): BenchAlarm[] {
  const { timeMs, conveyor, takeup, side, signal, alarm, priority, change, value, limit, unit } = output;
  if (change !== 'raised' && change !== 'cleared') return [];
  return [
    {
      ...{ timeMs, conveyor, alarm, priority, change, unit },
      ...(takeup === undefined ? {} : { takeup }),
      ...(side === undefined ? {} : { side }),
      ...(signal === undefined ? {} : { signal }),
      value: roundedNumber(value ?? NaN),
      limit: roundedNumber(limit ?? NaN),
    },
  ];
}

function dayOf({ date, conveyor, takeup, positionMm, elongationPct, flag }: SettledDayOutput): BenchDay {
  return { date, conveyor, takeup, positionMm: roundedNumber(positionMm, 4), elongationPct: roundedNumber(elongationPct, 7), flag };
}
