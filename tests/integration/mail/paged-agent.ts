import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import type { UnansweredOut } from '../../../agent/flow/page/page-output.js';
import { Pager } from '../../../agent/live/pager.js';
import type { Site } from '../../../agent/site/site.js';
import type { AlarmEvent } from '../../../agent/store/history.js';
import type { OutboxMessage } from '../../../agent/store/page-outbox.js';
import { openSqliteWriter } from '../../../agent/store/sqlite-writer.js';
import type { StoreWriter } from '../../../agent/store/store.js';
import { pagedSite, START_MS } from '../../flow/page/desk.js';

/** The full site of the fixtures, whose mail goes to a port of this machine and whose telephones are left out. */
export function mailedSite(port: number, ...changes: readonly (readonly [string, string])[]): Site {
  return pagedSite(
    ['host: mail.alder-point.example', 'host: localhost'],
    ['port: 587', `port: ${String(port)}`],
    ['security: starttls', 'security: none'],
    ['    user: takeline\n    password_file: secrets/smtp.txt\n    ca_file: secrets/mail-ca.pem\n', ''],
    [', webhook: "+47 00 00 00 01"', ''],
    ['channels: { webhook: stores-room }', 'channels: { email: stores@alder-point.example }'],
    ['  webhook: { url: https://gateway.alder-point.example/pages, secret_file: secrets/webhook.txt }\n', ''],
    ...changes,
  );
}

/** An alarm event as the agent writes it. */
export function alarmEvent(changed: Partial<AlarmEvent> = {}): AlarmEvent {
  const event = {
    ...({ kind: 'alarm', conveyor: 'enamel', takeup: 'tu1', alarm: 'spring-solid', priority: 'urgent', timeMs: START_MS } as const),
    ...({ change: 'raised', from: 'normal', to: 'unacknowledged', value: 150.6, limit: 151, unit: 'mm' } as const),
    ...changed,
  };
  return { id: [event.conveyor, event.takeup, event.alarm, event.change, event.timeMs].join('|'), ...event };
}

/** A store with a pager on it, as in an agent, on a clock that a test moves. */
export class PagedAgent {
  readonly said: string[] = [];
  readonly unanswered: UnansweredOut[] = [];
  readonly clock = { ms: START_MS, nowMs: () => this.clock.ms };
  readonly dataDir = mkdtempSync(join(tmpdir(), 'takeline-pager-'));
  store!: StoreWriter;
  pager!: Pager;

  private constructor(public site: Site) {
    onTestFinished(async () => {
      await this.stop();
      rmSync(this.dataDir, { recursive: true, force: true });
    });
  }

  static async start(site: Site): Promise<PagedAgent> {
    const agent = new PagedAgent(site);
    await agent.open();
    return agent;
  }

  async open(): Promise<void> {
    const say = (line: string): void => void this.said.push(line);
    this.store = await openSqliteWriter({ dataDir: this.dataDir, signals: [] });
    this.pager = await Pager.open({
      ...{ site: this.site, pages: this.store.pages, dataDir: this.dataDir, clock: this.clock },
      log: { info: say, warn: say, error: say },
      tellUnanswered: (said) => Promise.resolve(void this.unanswered.push(said)),
    });
  }

  async stop(): Promise<void> {
    await this.pager.stop();
    await this.store.stop();
  }

  async restart(): Promise<void> {
    await this.stop();
    await this.open();
    await this.pass(0);
  }

  /** Alarm events, written and told as the agent does. */
  async events(...events: readonly AlarmEvent[]): Promise<void> {
    await this.store.writeOutputs({ events });
    this.pager.take(events);
    await this.pass(0);
  }

  /** Lets time pass, and waits for what is under way. */
  async pass(seconds: number): Promise<void> {
    this.clock.ms += seconds * 1000;
    await this.pager.wake();
    await this.pager.settled();
    await this.pager.wake();
    await this.pager.settled();
  }

  waiting(): Promise<readonly OutboxMessage[]> {
    return this.store.pages.waiting();
  }
}
