import type { AlarmOutput, FindingOutput, Output, RejectReason, SettledDayOutput } from '../flow/output.js';
import type { Site } from '../site/site.js';
import { RejectList, type RejectedRow } from './reject-list.js';

/** What was gathered, in the order in which it is written. */
export interface Collected {
  readonly firstMs: number;
  readonly lastMs: number;
  readonly rejected: Readonly<Record<RejectReason, number>>;
  /** By line. */
  readonly rejects: Iterable<RejectedRow>;
  readonly alarms: readonly AlarmOutput[];
  readonly days: readonly SettledDayOutput[];
  readonly findings: readonly FindingOutput[];
}

/** Gathers what the pipeline gives out into what a replay writes. */
export class Collector {
  private readonly rejected: Record<RejectReason, number> = {
    unparsable: 0,
    'unknown-signal': 0,
    'out-of-range': 0,
    spike: 0,
    late: 0,
    duplicate: 0,
  };
  private readonly rejects = new RejectList();
  private readonly alarms: AlarmOutput[] = [];
  private readonly days = new Map<string, SettledDayOutput>();
  private readonly findings = new Map<string, FindingOutput>();
  private firstMs = Infinity;
  private lastMs = -Infinity;
  /** What was left out of the lists. */
  leftOut = 0;

  /** @param most - so many alarms, findings and rejects are listed at most; counts stay right */
  constructor(private readonly most = Infinity) {}

  reject(line: number, reason: RejectReason): void {
    this.rejected[reason]++;
    if (this.rejects.count < this.most) this.rejects.add(line, reason);
  }

  /** A row that the pipeline refused is listed with its line; a spike is counted only. */
  mark(out: readonly Output[], from: number, timeMs: number, line: number): void {
    for (let i = from; i < out.length; i++) {
      const output = out[i] as Output;
      if (output.kind === 'reject' && output.reason !== 'spike' && output.timeMs === timeMs) this.rejects.add(line, output.reason);
    }
  }

  see(timeMs: Float64Array, count: number): void {
    if (count === 0) return;
    this.firstMs = Math.min(this.firstMs, timeMs[0] as number);
    this.lastMs = Math.max(this.lastMs, timeMs[count - 1] as number);
  }

  /** Empties `out` into the collection. */
  take(out: Output[]): void {
    for (const output of out) {
      switch (output.kind) {
        case 'reject':
          this.rejected[output.reason]++;
          break;
        case 'alarm':
          if (this.alarms.length < this.most) this.alarms.push(output);
          else this.leftOut++;
          break;
        case 'settled-day':
          this.days.set(`${output.date} ${output.conveyor} ${output.takeup}`, output);
          break;
        case 'finding':
          if (this.findings.size < this.most || this.findings.has(output.id)) this.findings.set(output.id, output);
          else this.leftOut++;
          break;
        case 'minute':
        case 'temperature':
        case 'running':
        case 'spring-setting':
          break;
      }
    }
    out.length = 0;
  }

  result(site: Site): Collected {
    const order = new Map(
      site.conveyors.flatMap(({ id, takeups }) => takeups.map((takeup) => `${id} ${takeup.id}`)).map((name, index) => [name, index]),
    );
    const place = ({ conveyor, takeup }: SettledDayOutput): number => order.get(`${conveyor} ${takeup}`) ?? 0;
    return {
      firstMs: this.firstMs,
      lastMs: this.lastMs,
      rejected: this.rejected,
      rejects: this.rejects,
      alarms: this.alarms.sort((a, b) => a.timeMs - b.timeMs),
      days: [...this.days.values()].sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : place(a) - place(b))),
      findings: [...this.findings.values()].sort((a, b) => a.toMs - b.toMs),
    };
  }
}
