import { describe, expect, it, test } from 'vitest';
import { formatFault } from '../../agent/site/format-fault.js';
import { readSite } from '../../agent/site/read-site.js';
import { FAULT_RULES, WARNING_RULES } from '../../agent/site/site-fault.js';
import { fixtureSites, markedLine } from './fixture-files.js';

describe('a site that breaks one rule', () => {
  const refused = fixtureSites('refused');

  test.each([...refused])('%s: is refused for that rule alone, on the marked line', (rule, text) => {
    const reading = readSite(text, `${rule}.yaml`);
    const faults = reading.ok ? [] : reading.faults;
    expect(faults.map((fault) => ({ rule: fault.rule, line: fault.line }))).toEqual([{ rule, line: markedLine(text) }]);
  });

  it('has a file for every rule, and no file without a rule', () => {
    expect([...refused.keys()].sort()).toEqual([...FAULT_RULES].sort());
  });

  test.each([...refused])('%s: is told in one line, with file, line and column first', (rule, text) => {
    const reading = readSite(text, `${rule}.yaml`);
    for (const line of reading.ok ? [] : reading.faults.map(formatFault)) {
      expect(line).toMatch(new RegExp(`^${rule}\\.yaml:${String(markedLine(text))}:\\d+( [\\w[\\].-]+)?: \\S`, 'u'));
      expect(line).not.toContain('\n');
    }
  });
});

describe('a site that is accepted with a second look', () => {
  const warned = fixtureSites('warned');

  test.each([...warned])('%s: gives that warning alone, on the marked line', (rule, text) => {
    const reading = readSite(text, `${rule}.yaml`);
    expect(reading.ok ? reading.warnings.map((warning) => ({ rule: warning.rule, line: warning.line })) : reading.faults).toEqual([
      { rule, line: markedLine(text) },
    ]);
  });

  it('has a file for every warning, and no file without one', () => {
    expect([...warned.keys()].sort()).toEqual([...WARNING_RULES].sort());
  });
});

describe('a good site', () => {
  test.each([...fixtureSites('good')])('%s: is accepted without faults or warnings', (name, text) => {
    const reading = readSite(text, `${name}.yaml`);
    expect(reading.ok ? reading.warnings : reading.faults.map(formatFault)).toEqual([]);
    expect(reading.ok).toBe(true);
  });
});
