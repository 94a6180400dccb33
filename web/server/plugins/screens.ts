import { existsSync } from 'node:fs';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import { ProblemError } from '../logic/problem.js';
import type { App } from './app.js';

/**
 * Serves the built screens, packed (`.br`, `.gz`) where the build laid a packed copy beside a file and the browser takes it. Files under `assets/` bear a digest in their name and may be kept for good; the page itself
 * is asked for anew each time.
 *
 * @param clientDir - where `npm run build` puts them
 */
export async function serveScreens(app: App, clientDir: string): Promise<void> {
  if (!existsSync(join(clientDir, 'index.html'))) {
    app.get('/', () => Promise.reject(new ProblemError('no-screens', 'Run npm run build, then start again.')));
    return;
  }
  await app.register(fastifyStatic, {
    root: clientDir,
    cacheControl: false,
    preCompressed: true,
    setHeaders: (response, path) => {
      // Whatever keeps copies on the way must not hand a packed one to somebody who cannot unpack it.
      response.setHeader('vary', 'accept-encoding');
      response.setHeader('cache-control', path.includes('/assets/') ? 'public, max-age=31536000, immutable' : 'no-cache');
    },
  });
}
