import { fileURLToPath } from 'node:url';
import type { Clock } from '../../../agent/process/clock.js';
import type { OnStop } from '../../../agent/process/lifecycle.js';
import type { StoreReader } from '../../../agent/store/store.js';
import type { App } from '../plugins/app.js';
import { BenchDesk } from './bench-desk.js';
import { benchRoutes } from './bench-routes.js';

export interface BenchParts {
  readonly dataDir: string;
  readonly openHistory: () => Promise<StoreReader>;
  readonly siteText?: () => Promise<string>;
  readonly clock: Clock;
  readonly onStop: OnStop;
}

/** The project's own fixtures, seen from the sources and from what is built. */
const FIXTURE_DIRS = ['../../../fixtures/replay', '../../../../fixtures/replay'].map((path) =>
  fileURLToPath(new URL(path, import.meta.url)),
);

/** Puts the bench on a server. */
export async function benchOn(app: App, { dataDir, openHistory, siteText, clock, onStop }: BenchParts): Promise<void> {
  const desk = new BenchDesk(
    {
      ...{ dataDir, openHistory, fixtureDirs: FIXTURE_DIRS },
      siteText: () => siteText?.() ?? Promise.resolve(undefined),
      workerFile: new URL('bench-worker.js', import.meta.url),
    },
    () => clock.nowMs(),
  );
  await desk.start();
  onStop('bench', () => desk.stop());
  benchRoutes(app, desk);
}
