import { describe, expect, it } from 'vitest';
import { proposedMap } from '../../../../web/client/logic/proposed-map.js';

const SIGNALS = ['line/running', 'line/tu1/left/position', 'line/tu1/right/position'];

describe('a mapping to begin with', () => {
  it('of a wide export with decimal commas', () => {
    const lines = ['Date;Time;Position left;Position right;Running', '02.03.2026;06:00:00;41,7;42,1;1'];
    expect(proposedMap(lines, SIGNALS, 'Europe/Oslo').split('\n')).toEqual([
      'form: wide',
      'delimiter: ";"',
      'decimal: ","',
      'time: { columns: ["Date", "Time"], format: iso, zone: Europe/Oslo }',
      'signals:',
      '  - { from: "Position left", signal: line/tu1/left/position }',
      '  - { from: "Position right", signal: line/tu1/right/position }',
      '  - { from: "Running", signal: line/running }',
      '',
    ]);
  });

  it('of a long export, by the names in its first lines', () => {
    const lines = ['"Timestamp","Tag","Value"', '2026-03-02T06:00:00Z,POS_LEFT,41.7', '2026-03-02T06:00:00Z,POS_RIGHT,42.1'];
    expect(proposedMap(lines, SIGNALS, 'UTC')).toContain('long: { name: "Tag", value: "Value" }');
    expect(proposedMap(lines, SIGNALS, 'UTC')).toContain('{ from: "POS_LEFT", signal: line/tu1/left/position }');
  });

  it('of a captured session needs no signals', () => {
    expect(proposedMap(['{"time":1,"topic":"a","payload":"1"}'], SIGNALS, 'UTC')).toBe('form: mqtt\n');
  });
});
