import { parentPort } from 'node:worker_threads';
import { serveBench } from '../../../agent/replay/bench/serve-bench.js';

/** Replays in a thread of its own, so that the present is never kept waiting. */
if (parentPort === null) throw new Error('this runs as a worker of the web server');
serveBench(parentPort);
