import type { AlarmKey, AlarmState, Priority } from '../../../agent/flow/alarm-key.js';
import type { PagedEvent } from '../../../agent/flow/page/occurrence.js';
import { PageDesk } from '../../../agent/flow/page/page-desk.js';
import type { PageOutput } from '../../../agent/flow/page/page-output.js';
import { readSite } from '../../../agent/site/read-site.js';
import type { Site } from '../../../agent/site/site.js';
import { goodSite } from '../../site/fixture-files.js';

/** A Tuesday in Marta's week. */
export const START_MS = Date.parse('2026-01-06T09:00:00Z');
export const MINUTE_MS = 60_000;

/** The full site of the fixtures; `change` replaces a piece of its text. */
export function pagedSite(...changes: readonly (readonly [from: string, to: string])[]): Site {
  let text = goodSite('full');
  for (const [from, to] of changes) {
    if (!text.includes(from)) throw new Error(`the full site has no "${from}"`);
    text = text.replace(from, to);
  }
  const reading = readSite(text, 'full.yaml');
  if (!reading.ok) throw new Error(reading.faults.map(({ message }) => message).join('\n'));
  return reading.site;
}

const PRIORITY: Readonly<Partial<Record<AlarmKey, Priority>>> = {
  'spring-solid': 'urgent',
  'page-unanswered': 'urgent',
  'spring-near-solid': 'high',
  'stroke-end': 'high',
  'carriage-jump': 'high',
  'stroke-low': 'medium',
  'spring-slack': 'medium',
};

export type Place = Partial<Pick<PagedEvent, 'conveyor' | 'takeup' | 'signal'>>;

/** A desk with a clock that a test sets, and what it has said so far. */
export class DeskWithClock {
  desk: PageDesk;
  nowMs = START_MS;
  readonly undelivered = new Set<string>();
  private out: PageOutput[] = [];

  constructor(private site: Site = pagedSite()) {
    this.desk = new PageDesk(site);
  }

  alarm(alarm: AlarmKey, change: PagedEvent['change'], to: AlarmState, place: Place = {}): this {
    const event: PagedEvent = {
      ...{ conveyor: 'enamel', takeup: 'tu1', ...place },
      ...{
        alarm,
        change,
        to,
        timeMs: this.nowMs,
        from: 'normal',
        priority: PRIORITY[alarm] ?? 'low',
        value: 150.6,
        limit: 151,
        unit: 'mm',
      },
    };
    this.out.push(...this.desk.event(event, this.nowMs));
    return this;
  }

  rises(alarm: AlarmKey, place: Place = {}): this {
    return this.alarm(alarm, 'raised', 'unacknowledged', place);
  }

  isAcknowledged(alarm: AlarmKey, place: Place = {}): this {
    return this.alarm(alarm, 'acknowledged', 'acknowledged', place);
  }

  clears(alarm: AlarmKey, place: Place = {}): this {
    return this.alarm(alarm, 'cleared', 'returned-unacknowledged', place);
  }

  /** Lets seconds pass as an agent does: the desk is asked when it says that something is due, and saved and opened anew in between. */
  after(seconds: number): this {
    const endMs = this.nowMs + seconds * 1000;
    for (let turns = 0; this.desk.dueMs <= endMs; turns++) {
      if (turns > 1000) throw new Error('the desk is never done');
      this.nowMs = Math.max(this.nowMs, this.desk.dueMs);
      this.out.push(...this.desk.pass(this.nowMs, this.undelivered));
      this.restart();
    }
    this.nowMs = endMs;
    return this;
  }

  /** @param site - as it is after the restart; a later one goes on with it */
  restart(site: Site = this.site): this {
    this.site = site;
    this.desk = new PageDesk(site, JSON.parse(JSON.stringify(this.desk.save())) as ReturnType<PageDesk['save']>);
    return this;
  }

  /** What was said since the last time this was asked. */
  said(): readonly PageOutput[] {
    const { out } = this;
    this.out = [];
    return out;
  }

  /** The same in short: `page marta spring-solid`, `no-page no-ladder`, `unanswered`. */
  told(): readonly string[] {
    return this.said().map((output) => {
      if (output.kind === 'page') return `page ${output.person} ${output.alarms.map(({ alarm }) => alarm).join('+')}`;
      if (output.kind === 'unanswered') return output.up ? 'unanswered' : 'answered';
      return `no-page ${output.reason}${output.person === undefined ? '' : ` ${output.person}`}`;
    });
  }
}
