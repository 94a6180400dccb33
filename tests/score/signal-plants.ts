import type { ScorePlant } from './plant.js';
import { lineSite } from './line-site.js';
import { HOUR, MINUTE, quick, troubled, wednesday } from './troubled-plants.js';
import { rezero } from './works.js';

const LEFT = 'line/tu1/left/position';
const DAY = 24 * HOUR;
const CURRENT_LOOPS = lineSite({
  ambient: true,
  takeups: [{ position: { unit: 'mA', scale: { from: [4, 20], to: [0, 250] }, resolution_mm: 0.1 } }],
});

/** What goes wrong with sensors and their wires. */
export function signalPlants(): ScorePlant[] {
  const mid = wednesday(4);
  return [
    troubled(
      'sensor-flat',
      'the left sensor repeats its last value for four days',
      301,
      { troubles: [{ kind: 'sensor-flat', fromMs: mid, toMs: mid + 4 * DAY, signal: LEFT }] },
      [{ what: 'flat', by: ['signal-doubtful'], from: mid, onDelayMs: HOUR, running: true }],
    ),
    troubled(
      'sensor-noisy',
      'the left sensor is eight times as noisy for four days',
      302,
      { sensors: { positionMm: 0.3 }, troubles: [{ kind: 'sensor-noisy', fromMs: mid, toMs: mid + 4 * DAY, signal: LEFT, times: 8 }] },
      // Two windows in a row.
      [{ what: 'noisy', by: ['signal-doubtful'], from: mid, onDelayMs: 20 * MINUTE, running: true }],
      quick(mid, 12),
    ),
    troubled(
      'sensor-drifts',
      'the left sensor drifts by 0.7 mm a day, and is set right after 18 days, recorded',
      303,
      {
        troubles: [{ kind: 'sensor-drift', fromMs: mid, toMs: mid + 18 * DAY, signal: LEFT, perDay: 0.7 }],
        works: [rezero(mid + 18 * DAY, 'left', 80)],
      },
      // 5 mm more than two weeks before: after eight days.
      [{ what: 'the sides part', by: ['sensor-doubtful'], from: mid + 8 * DAY, onDelayMs: 3 * DAY, running: false }],
      { days: 75 },
    ),
    troubled(
      'signal-lost',
      'nothing of the left sensor for six hours',
      304,
      { troubles: [{ kind: 'signal-lost', fromMs: mid, toMs: mid + 6 * HOUR, signal: LEFT }] },
      [{ what: 'lost', by: ['signal-lost'], from: mid, onDelayMs: 10 * MINUTE, running: false }],
    ),
    troubled(
      'fault-band',
      'the left current loop falls to 2 mA',
      305,
      { troubles: [{ kind: 'fault-band', fromMs: mid, toMs: mid + 5 * HOUR, signal: LEFT, raw: 2 }] },
      [{ what: 'fault', by: ['signal-fault'], from: mid, onDelayMs: 3 * MINUTE, running: false }],
      { site: CURRENT_LOOPS },
    ),
    troubled(
      'no-number',
      'the left sensor sends words instead of numbers for two hours',
      306,
      { troubles: [{ kind: 'not-a-number', fromMs: mid, toMs: mid + 2 * HOUR, signal: LEFT, share: 1 }] },
      [{ what: 'fault', by: ['signal-fault'], from: mid, onDelayMs: 3 * MINUTE, running: false }],
    ),
    troubled(
      'running-lost',
      'nobody knows whether it runs: the running signal is gone for a day',
      307,
      { troubles: [{ kind: 'signal-lost', fromMs: mid, toMs: mid + DAY, signal: 'line/running' }] },
      // Told anew every five minutes.
      [{ what: 'lost', by: ['signal-lost'], from: mid, onDelayMs: 15 * MINUTE, running: false }],
    ),
    troubled(
      'spikes',
      'a welding set throws one reading in twelve off by 30 mm for three days',
      308,
      { troubles: [{ kind: 'sensor-spikes', fromMs: mid, toMs: mid + 3 * DAY, signal: LEFT, share: 0.08, height: 30 }] },
      [],
    ),
    troubled(
      'gap',
      'the network of the line is down over a shift',
      309,
      { troubles: [{ kind: 'gap', fromMs: mid, toMs: mid + 9 * HOUR }] },
      [{ what: 'lost', by: ['signal-lost'], from: mid, onDelayMs: 10 * MINUTE, running: false }],
    ),
  ];
}
