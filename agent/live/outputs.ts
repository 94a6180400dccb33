import type {
  AlarmOutput,
  FindingOutput,
  MinuteOutput,
  Output,
  RunningOutput,
  SettledDayOutput,
  SpringSettingOutput,
  TemperatureOutput,
} from '../flow/output.js';
import type { AlarmEvent, OutputBatch } from '../store/history.js';

export type Drained = Required<Omit<OutputBatch, 'checkpoint'>>;

/** What the pipeline gave out and is not written yet, sorted by where it goes. */
export class PendingOutputs {
  events: AlarmEvent[] = [];
  findings: FindingOutput[] = [];
  private days: SettledDayOutput[] = [];
  private minutes: MinuteOutput[] = [];
  private temperatures: TemperatureOutput[] = [];
  private runs: RunningOutput[] = [];
  private springs: SpringSettingOutput[] = [];
  readonly rejected: Record<string, number> = {};
  /** The same by the name of the signal, where one is known. */
  readonly rejectedOf = new Map<string, Record<string, number>>();

  /** Whether something waits that a person should see at once. */
  get urgent(): boolean {
    return this.events.length > 0 || this.findings.length > 0;
  }

  get empty(): boolean {
    const { events, days, minutes, findings, temperatures, runs, springs } = this;
    return [events, days, minutes, findings, temperatures, runs, springs].every(({ length }) => length === 0);
  }

  /** Sorts the outputs in and empties the list. */
  take(outputs: Output[]): void {
    for (const output of outputs) {
      switch (output.kind) {
        case 'alarm':
          this.events.push({ ...output, id: alarmEventId(output) });
          break;
        case 'settled-day':
          this.days.push(output);
          break;
        case 'minute':
          this.minutes.push(output);
          break;
        case 'temperature':
          this.temperatures.push(output);
          break;
        case 'running':
          this.runs.push(output);
          break;
        case 'spring-setting':
          this.springs.push(output);
          break;
        case 'finding':
          this.findings.push(output);
          break;
        case 'reject':
          this.count(output.reason, output.signal);
          break;
      }
    }
    outputs.length = 0;
  }

  count(reason: string, signal?: string): void {
    add(this.rejected, reason);
    if (signal === undefined) return;
    let own = this.rejectedOf.get(signal);
    if (own === undefined) {
      own = {};
      this.rejectedOf.set(signal, own);
    }
    add(own, reason);
  }

  drain(): Drained {
    const { events, days, minutes, findings, temperatures, runs, springs } = this;
    [this.events, this.days, this.minutes, this.findings] = [[], [], [], []];
    [this.temperatures, this.runs, this.springs] = [[], [], []];
    return { events, days, minutes, findings, temperatures, runs, springs };
  }

  /** Puts what could not be written back before what came since. */
  putBack(drained: Drained): void {
    this.events = [...drained.events, ...this.events];
    this.days = [...drained.days, ...this.days];
    this.minutes = [...drained.minutes, ...this.minutes];
    this.findings = [...drained.findings, ...this.findings];
    this.temperatures = [...drained.temperatures, ...this.temperatures];
    this.runs = [...drained.runs, ...this.runs];
    this.springs = [...drained.springs, ...this.springs];
  }
}

/**
 * What makes a transition the same one however often it is worked out or delivered: whose, which way and when. What a person did is
 * told apart by the person as well: two of them may shelve one alarm in one millisecond.
 */
function alarmEventId({ conveyor, takeup, signal, alarm, change, timeMs, by }: AlarmOutput): string {
  const doer = by === undefined || change === 'acknowledged' ? [] : [by];
  return [conveyor, takeup ?? '', signal ?? '', alarm, change, String(timeMs), ...doer].join('|');
}

function add(counts: Record<string, number>, reason: string): void {
  counts[reason] = (counts[reason] ?? 0) + 1;
}
