import { readFileSync } from 'node:fs';
import { Check } from 'typebox/value';
import { describe, expect, it, test } from 'vitest';
import { parse } from 'yaml';
import { DEFAULTS } from '../../agent/site/defaults.js';
import { SITE_FILE, siteJsonSchema } from '../../agent/site/schema.js';
import { fixtureSites } from './fixture-files.js';

/** Every schema of a key, with the key's way in the site. */
function schemasOfKeys(schema: unknown, path = ''): readonly { readonly path: string; readonly schema: Record<string, unknown> }[] {
  if (typeof schema !== 'object' || schema === null) return [];
  const { properties, items, anyOf } = schema as {
    properties?: Record<string, Record<string, unknown>>;
    items?: unknown;
    anyOf?: unknown[];
  };
  return [
    ...Object.entries(properties ?? {}).flatMap(([key, inner]) => [
      { path: `${path}.${key}`, schema: inner },
      ...schemasOfKeys(inner, `${path}.${key}`),
    ]),
    ...schemasOfKeys(items, `${path}[]`),
    ...(anyOf ?? []).flatMap((form) => schemasOfKeys(form, path)),
  ];
}

describe('the JSON Schema for editors', () => {
  const published: unknown = JSON.parse(readFileSync(new URL('../../agent/site/site.schema.json', import.meta.url), 'utf8'));
  const keys = schemasOfKeys(published);

  it('is the one that site files are checked by', () => {
    expect(published, 'write it anew: takeline check --schema > agent/site/site.schema.json, then prettier').toEqual(
      JSON.parse(siteJsonSchema()),
    );
  });

  it('says of every key what it is', () => {
    expect(keys.length).toBeGreaterThan(100);
    const silent = keys.filter(({ schema }) => typeof schema['description'] !== 'string' || !schema['description'].endsWith('.'));
    expect(silent.map(({ path }) => path)).toEqual([]);
  });

  it('names the unit of every measured key', () => {
    const units: Readonly<Record<string, RegExp>> = {
      mm: /\bmm\b/u,
      n: /\bN\b/u,
      kn: /\bkN\b/u,
      s: /\bs\b/u,
      c: /°C/u,
      pct: /%|percent/u,
      deg: /degrees/u,
      mpa: /\bMPa\b/u,
    };
    const unnamed = keys.filter(({ path, schema }) => {
      const unit = units[/_([a-z]+)$/u.exec(path)?.[1] ?? ''];
      return unit !== undefined && !unit.test(String(schema['description']));
    });
    expect(unnamed.map(({ path }) => path)).toEqual([]);
  });

  it('tells what stands for a key that may be left out', () => {
    const optional = (schema: unknown, path = ''): string[] => {
      if (typeof schema !== 'object' || schema === null) return [];
      const { properties, required, items, anyOf } = schema as {
        properties?: Record<string, { description?: string }>;
        required?: string[];
        items?: unknown;
        anyOf?: unknown[];
      };
      return [
        ...Object.entries(properties ?? {}).flatMap(([key, inner]) => [
          ...((required ?? []).includes(key) || /default|optional|leaves|without/iu.test(inner.description ?? '')
            ? []
            : [`${path}.${key}`]),
          ...optional(inner, `${path}.${key}`),
        ]),
        ...optional(items, `${path}[]`),
        ...(anyOf ?? []).flatMap((form) => optional(form, path)),
      ];
    };
    expect(optional(published)).toEqual([]);
  });

  it('refuses keys it does not know, in every section', () => {
    const open = (schema: unknown, path: string): string[] => {
      if (typeof schema !== 'object' || schema === null) return [];
      const { type, additionalProperties, properties, items, anyOf } = schema as Record<string, unknown> & {
        properties?: object;
        anyOf?: unknown[];
      };
      return [
        ...(type === 'object' && additionalProperties !== false ? [path] : []),
        ...Object.entries(properties ?? {}).flatMap(([key, inner]) => open(inner, `${path}.${key}`)),
        ...open(items, `${path}[]`),
        ...(anyOf ?? []).flatMap((form) => open(form, path)),
      ];
    };
    expect(open(published, 'site')).toEqual([]);
  });

  test.each([...fixtureSites('good')])('takes the good site %s', (_, text) => {
    expect(Check(SITE_FILE, parse(text))).toBe(true);
  });
});

describe('the defaults', () => {
  test.each(Object.entries(DEFAULTS))('%s has a reason', (_, { reason }) => {
    expect(reason.length).toBeGreaterThan(3);
  });
});
