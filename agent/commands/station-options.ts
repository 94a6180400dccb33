import type { Clock } from '../process/clock.js';
import type { Log } from '../process/log.js';
import type { Site } from '../site/site.js';
import type { Retention } from '../store/disk-use.js';
import type { CommandIo } from './command.js';

/** What the whole program in one process is started with. */
export interface StationOptions {
  readonly site: Site;
  /** The site file as it was read, and where a changed one is kept. */
  readonly siteText: string;
  readonly sitePath: string;
  /** The site is the demo's: its history is made at the first start. */
  readonly demo: boolean;
  readonly simulate: boolean;
  readonly dataDir: string;
  readonly host: string;
  readonly webPort: number;
  readonly tcpPort: number;
  readonly wsPort: number;
  /** An outside broker; absent: the embedded one. */
  readonly brokerUrl?: string;
  readonly retention: Retention;
  readonly clock: Clock;
  readonly log: Log;
  readonly io: CommandIo;
  /** Cuts a long beginning short. */
  readonly signal: AbortSignal;
}
