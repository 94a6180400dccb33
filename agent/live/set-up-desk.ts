import type { RequestMessage } from '../contract/messages.js';
import { signalsNow } from '../flow/way/signals-now.js';
import type { Pipeline } from '../pipeline.js';
import type { Clock } from '../process/clock.js';
import { TakelineFault } from '../process/fault.js';
import type { Log } from '../process/log.js';
import { readSite } from '../site/read-site.js';
import type { Site } from '../site/site.js';
import type { StoreWriter } from '../store/store.js';
import type { PendingOutputs } from './outputs.js';
import type { Publisher } from './publisher.js';

/** The site file of a running agent, from whoever started it. */
export interface SiteFile {
  /** As it is in force. */
  readonly text: string;
  /** Puts another text in its place on the disk. @throws TakelineFault where it cannot be written */
  keep(text: string): Promise<void>;
  /** Begins anew with another site while everything around goes on; absent where only a restart does. */
  readonly apply?: {
    /** Why this site needs a restart all the same; undefined where it does not. */
    whyNot(site: Site): string | undefined;
    begin(site: Site, text: string): void;
  };
}

/** Verbs that change nothing of the plant's account: what the signals read now, and another site file. */
const VERBS: ReadonlySet<string> = new Set(['signals', 'site']);

export interface SetUpDeskParts {
  readonly pipeline: Pick<Pipeline, 'ways' | 'site'>;
  readonly outputs: Pick<PendingOutputs, 'rejectedOf'>;
  readonly publisher: Pick<Publisher, 'answer'>;
  readonly store: Pick<StoreWriter, 'recordSite'>;
  readonly clock: Clock;
  readonly log: Pick<Log, 'info'>;
  readonly siteFile: SiteFile | undefined;
}

/** Answers what setting up asks of the agent. */
export class SetUpDesk {
  constructor(private readonly parts: SetUpDeskParts) {}

  takes(verb: string): boolean {
    return VERBS.has(verb);
  }

  /** The site file that the agent began with becomes a version where it is not the latest one. */
  async recordStart(): Promise<void> {
    const { siteFile, store, clock } = this.parts;
    if (siteFile !== undefined) await store.recordSite({ timeMs: clock.nowMs(), text: siteFile.text });
  }

  async take(verb: string, message: RequestMessage): Promise<void> {
    if (verb === 'signals') this.tellSignals(message);
    else await this.takeSite(message);
  }

  private tellSignals({ request, conveyor }: RequestMessage): void {
    const { pipeline, outputs, publisher } = this.parts;
    const ways = pipeline.ways.filter((way) => conveyor === undefined || way.conveyor.id === conveyor);
    const signals = ways.flatMap((way) => signalsNow(way).map((one) => ({ ...one, rejected: outputs.rejectedOf.get(one.signal) ?? {} })));
    publisher.answer(request, ways.length > 0, ways.length > 0 ? 'as they stand' : 'there is no such conveyor', { signals });
  }

  private async takeSite({ request, by, text, why: reason }: RequestMessage): Promise<void> {
    const { publisher, siteFile, pipeline, store, clock, log } = this.parts;
    const refuse = (message: string): void => {
      publisher.answer(request, false, message);
    };
    if (siteFile === undefined) {
      refuse('this agent has no site file that it may write: change the file where it lies and start it again');
      return;
    }
    if (typeof text !== 'string') {
      refuse('text must be the whole site file');
      return;
    }
    if (reason !== undefined && typeof reason !== 'string') {
      refuse('why must be text');
      return;
    }
    const reading = readSite(text, 'site file');
    if (!reading.ok) {
      const [first] = reading.faults;
      refuse(
        `the site file has ${String(reading.faults.length)} faults, the first in line ${String(first?.line)}: ${first?.message ?? ''}`,
      );
      return;
    }
    const { site } = reading;
    if (site.id !== pipeline.site.id) {
      refuse(`the id of the site stays ${pipeline.site.id}: everything is kept under it`);
      return;
    }
    try {
      await siteFile.keep(text);
      await store.recordSite({ timeMs: clock.nowMs(), by, text, ...(reason === undefined ? {} : { why: reason }) });
    } catch (error) {
      if (!(error instanceof TakelineFault)) throw error;
      refuse(error.message);
      return;
    }
    const why = siteFile.apply === undefined ? 'start the agent again to apply it' : siteFile.apply.whyNot(site);
    log.info(`${by} changed the site file`);
    publisher.answer(request, true, why === undefined ? 'kept, and applied' : `kept: ${why}`, { applied: why === undefined });
    if (why === undefined) siteFile.apply?.begin(site, text);
  }
}
