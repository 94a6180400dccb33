import { describe, expect, it } from 'vitest';
import { rolesOf } from '../../../agent/flow/way/roles.js';
import { conveyorSignals } from '../../../agent/site/site.js';
import { side, testSite } from './test-site.js';

describe('what each signal of a conveyor is to its way', () => {
  it('follows the order of the site: the conveyor’s own, zones, ambient, then each take-up’s sides', () => {
    const conveyor = testSite({
      conveyor: {
        signals: { running: {}, speed: { unit: 'm/min' } },
        zones: ['oven', 'dip'].map((id) => ({ id, length_mm: 1000, reference_c: 20, temperature: {} })),
        ambient: { reference_c: 20, temperature: {} },
      },
      takeup: { sides: { left: side({ spring: {} }), right: side() } },
      others: [{ id: 'tu2', sides: { left: side(), right: side({ spring: {} }) } }],
    }).conveyors[0]!;
    const named = conveyorSignals(conveyor).map(({ name }, i) => [name, rolesOf(conveyor)[i]]);
    expect(named).toEqual([
      ['line/running', { kind: 'running' }],
      ['line/speed', { kind: 'speed' }],
      ['line/oven/temperature', { kind: 'temperature', zone: 0 }],
      ['line/dip/temperature', { kind: 'temperature', zone: 1 }],
      ['line/ambient/temperature', { kind: 'temperature', zone: 2 }],
      ['line/tu1/left/position', { kind: 'position', takeup: 0, side: 0 }],
      ['line/tu1/left/spring', { kind: 'spring', takeup: 0, side: 0 }],
      ['line/tu1/right/position', { kind: 'position', takeup: 0, side: 1 }],
      ['line/tu2/left/position', { kind: 'position', takeup: 1, side: 0 }],
      ['line/tu2/right/position', { kind: 'position', takeup: 1, side: 1 }],
      ['line/tu2/right/spring', { kind: 'spring', takeup: 1, side: 1 }],
    ]);
  });
});
