import { describe, expect, it, test } from 'vitest';
import { formatFault } from '../../agent/site/format-fault.js';
import { readImportMap } from '../../agent/site/import-map.js';

const KNOWN = ['line/tu1/left/position', 'line/tu1/right/position'];

function faultsOf(text: string): readonly string[] {
  const reading = readImportMap(text, 'map.yaml', KNOWN);
  return reading.ok ? [] : reading.faults.map(formatFault);
}

describe('a mapping file', () => {
  it('is filled in with what it leaves out', () => {
    const reading = readImportMap('signals: [{ from: L, signal: line/tu1/left/position }]', 'map.yaml', KNOWN);
    expect(reading).toMatchObject({
      ok: true,
      map: { form: 'wide', delimiter: ',', decimal: '.', encoding: 'utf-8', timeColumns: ['time'], timeFormat: 'iso' },
    });
  });

  it('has all its faults told at once, each with its line', () => {
    const faults = faultsOf(
      [
        'form: wied',
        "decimal: ';'",
        'delimiter: ";;"',
        'time: { columns: [Date], zone: Europe/Olso }',
        'signals:',
        '  - { from: L, signal: line/tu1/lef/position }',
        '  - { from: L, signal: line/tu1/right/position }',
      ].join('\n'),
    );
    expect(faults.map((fault) => /^map\.yaml:(\d+)/.exec(fault)?.[1])).toEqual(['1', '2', '3', '4', '6', '7']);
    expect(faults[0]).toContain('perhaps wide was meant');
    expect(faults[4]).toContain('perhaps line/tu1/left/position was meant');
  });

  test.each([
    ['signal: []', 'there is no such key; perhaps signals was meant'],
    ['form: long', 'the key signals is missing'],
    ['', 'empty'],
    ['time: 3\nsignals: [{ from: a, signal: line/tu1/left/position }]', 'time'],
  ])('%j is refused', (text, words) => {
    expect(faultsOf(text).join('\n')).toContain(words);
  });

  it('of captured messages needs no signals: the site’s topics say whose they are', () => {
    expect(faultsOf('form: mqtt')).toEqual([]);
  });
});
