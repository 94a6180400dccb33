import { writeFile } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { TakelineFault } from '../../agent/process/fault.js';
import { readServiceEntries } from '../../agent/recording/service-entries.js';
import { siteOfTwo } from '../contract/sites.js';
import { scratchFolder } from './scratch.js';

const SITE = siteOfTwo();
const GREASED = '{"time":"2026-03-01T08:00:00Z","conveyor":"enamel","kind":"lubricated"}';
const REMOVAL = '{"id":"e1","time":"2026-03-02T08:00:00Z","conveyor":"enamel","kind":"chain-removed","pitches":12}';
const FEWER = '{"time":"2026-03-03T08:00:00Z","kind":"correction","replaces":"e1","pitches":10}';

const scratch = scratchFolder();

async function read(text: string) {
  await writeFile(scratch('service.jsonl'), text);
  return readServiceEntries(scratch('service.jsonl'), SITE);
}

async function refusal(text: string): Promise<string> {
  const fault: unknown = await read(text).then(
    () => 'was read',
    (error: unknown) => error,
  );
  if (!(fault instanceof TakelineFault)) throw new Error(String(fault));
  expect(fault.code).toBe('service-entry-refused');
  return fault.message.slice(fault.message.indexOf('service.jsonl'));
}

describe('the service entries beside a recording', () => {
  it('are read line by line, in any order, with blank lines between', async () => {
    const entries = await read(`\ufeff${FEWER}\r\n\r\n${REMOVAL}\n  \n${GREASED}`);
    expect(entries.map(({ line, entry }) => [line, entry.kind])).toEqual([
      [1, 'correction'],
      [3, 'chain-removed'],
      [5, 'lubricated'],
    ]);
  });

  it('may be none', async () => {
    expect(await read('')).toEqual([]);
  });

  it.each([
    ['is no JSON', `${GREASED}\nlubricated\n`, 'service.jsonl:2: this is not JSON; a service entry is one JSON object on one line'],
    [
      'goes over two lines',
      '{"time":\n"2026-03-01T08:00:00Z"}',
      'service.jsonl:1: this is not JSON; a service entry is one JSON object on one line',
    ],
    [
      'has an unknown kind',
      GREASED.replace('lubricated', 'lubricatd'),
      'service.jsonl:1: there is no kind "lubricatd"; perhaps lubricated was meant',
    ],
    [
      'names what does not exist',
      `\n\n${GREASED.replace('enamel', 'enamal')}`,
      'service.jsonl:3: there is no conveyor "enamal" (perhaps enamel was meant)',
    ],
    ['corrects nothing', `${GREASED}\n${FEWER}`, 'service.jsonl:2: it replaces "e1", and no entry has that id'],
    [
      'corrects an entry to no entry',
      `${REMOVAL}\n${FEWER.replace('10', '1.5')}`,
      'service.jsonl:2: the corrected entry would not be valid: pitches is 1.5; it must be a whole number from 1 up',
    ],
    [
      'has an id that is taken',
      `${REMOVAL}\n${REMOVAL.replace('12', '14')}`,
      'service.jsonl:2: the id "e1" is taken by another entry; give it one of its own',
    ],
  ])('are refused with file and line where one %s', async (_, text, message) => {
    expect(await refusal(text)).toBe(message);
  });

  it('are refused where there is no such file', async () => {
    await expect(readServiceEntries(scratch('missing.jsonl'), SITE)).rejects.toMatchObject({
      name: 'TakelineFault',
      code: 'service-entries-unreadable',
      message: expect.stringContaining('missing.jsonl') as string,
    });
  });
});
