import { describe, expect, it } from 'vitest';
import { refuseNode } from '../../.scripts/setup.mjs';

describe('before anything is installed', () => {
  it.each(['20.19.0', '20.20.2', '22.12.0', '24.1.0'])('Node.js %s will do', (version) => {
    expect(refuseNode(version)).toBeUndefined();
  });

  it.each(['18.20.8', '20.18.3', '20.9.0'])('Node.js %s is refused in a sentence that says which is needed', (version) => {
    expect(refuseNode(version)).toBe(
      `Takeline needs Node.js 20.19 or newer, and this is ${version}: install a newer Node.js and start again.`,
    );
  });
});
