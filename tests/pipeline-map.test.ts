import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { STEPS } from '../agent/pipeline.js';
import { STEPS as RULED } from './structure/areas.js';

const FLOW = fileURLToPath(new URL('../agent/flow/', import.meta.url));

describe('the map of a reading', () => {
  it('names the steps in the order to which the import rules hold them, and each step that is built has its folder', () => {
    expect(STEPS.map(({ step }) => step)).toEqual(RULED);
    const folders = readdirSync(FLOW, { withFileTypes: true })
      .filter((entry) => entry.isDirectory() && entry.name !== 'way')
      .map(({ name }) => name);
    expect(folders.filter((name) => !STEPS.some(({ step }) => step === name))).toEqual([]);
  });
});
