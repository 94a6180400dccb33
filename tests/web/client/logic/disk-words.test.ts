import { describe, expect, it } from 'vitest';
import { diskLines, diskSentences, sizeWords } from '../../../../web/client/logic/disk-words.js';
import type { DiskAnswer } from '../../../../web/server/logic/answers.js';

const NOW_MS = Date.parse('2026-03-21T12:00:00Z');
const DAY_MS = 86_400_000;
const MB = 2 ** 20;

/** Ten days of history at 100 MB a day, to be kept for thirty. */
const PLANT: DiskAnswer = {
  ...{ totalBytes: 1300 * MB, spareBytes: 20 * MB, figuresBytes: 200 * MB, freeBytes: 50_000 * MB },
  journal: { readings: 1_000_000, bytes: 20 * MB },
  blocks: { readings: 600_000_000, bytes: 980 * MB },
  recorder: { readings: 3_000_000, bytes: 60 * MB },
  ...{ oldestMs: NOW_MS - 10 * DAY_MS, oldestMinuteMs: NOW_MS - 100 * DAY_MS },
  retention: { rawDays: 30, minuteDays: 400 },
};
const said = (over: Partial<DiskAnswer> = {}) => diskSentences({ ...PLANT, ...over }, NOW_MS, 'Europe/Oslo');
const texts = (over: Partial<DiskAnswer> = {}) => said(over).map(({ text }) => text);
const urgent = (over: Partial<DiskAnswer> = {}) => said(over).flatMap(({ text, needsSomeone }) => (needsSomeone ? [text] : []));

describe('what the history takes', () => {
  it.each([
    [0, '0 bytes'],
    [1023, '1023 bytes'],
    [1024, '1.00 kB'],
    [500 * MB, '500 MB'],
    [1.5 * 1024 * MB, '1.50 GB'],
    [34.56 * 1024 * MB, '34.6 GB'],
    [3000 * 1024 * 1024 * MB, '3000 TB'],
  ])('counts %d bytes as --max-disk does', (bytes, words) => {
    expect(sizeWords(bytes)).toBe(words);
  });

  it('is shown by kind, together all there is', () => {
    const lines = diskLines(PLANT);
    expect(lines.map(({ what, size, kept }) => [what, size, kept])).toEqual([
      ['Raw readings, packed', '980 MB', '30 days'],
      ['Raw readings as they came, to be packed', '20.0 MB', '30 days'],
      ['Raw readings around alarms, findings and work', '60.0 MB', 'for good'],
      ['Minutes, hours, days, alarms, findings, service log, the agent’s state', '200 MB', 'minutes 400 days, all else for good'],
      ['Empty room in the file, taken by what comes next', '20.0 MB', ''],
      ['What is being written now', '20.0 MB', ''],
    ]);
    expect(lines.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
  });

  it('counts readings in thousands and millions, since nobody reads nine figures', () => {
    const [packed, asTheyCame, around] = diskLines({
      ...PLANT,
      journal: { readings: 23_456, bytes: 1 },
      recorder: { readings: 740, bytes: 1 },
    });
    expect([packed, asTheyCame, around].map((line) => line?.readings)).toEqual(['600 million', '23.5 thousand', '740']);
  });

  it('says what goes next and when, and what the raw readings come to', () => {
    expect(texts()).toEqual([
      'Raw readings go back to 2026-03-11; those of that day go on 2026-04-10.',
      'Minutes go back to 2025-12-11; those of that day go on 2027-01-15.',
      'At the present 100 MB a day, raw readings of 30 days come to 2.93 GB.',
      'The disk has 48.8 GB left.',
    ]);
    expect(urgent()).toEqual([]);
  });

  it('asks for someone where the limit will not hold the days that are to be kept', () => {
    const retention = { rawDays: 30, minuteDays: 400, maxBytes: 2000 * MB };
    // 95 % of the limit, less the 280 MB of all else, at 100 MB a day.
    expect(urgent({ retention })).toEqual([
      'At the present 100 MB a day, raw readings of 30 days come to 2.93 GB: there is room for 16 days of them. Allow more with --max-disk, or keep fewer days.',
    ]);
  });

  it('says that the oldest go already where the limit is reached', () => {
    const retention = { rawDays: 30, minuteDays: 400, maxBytes: 1340 * MB };
    expect(urgent({ retention })[0]).toBe(
      'The history has come to what it may take, 1.31 GB: the oldest raw readings, now of 2026-03-11, go as new ones come.',
    );
  });

  it('asks for someone before the disk is full', () => {
    expect(urgent({ freeBytes: 1000 * MB })).toEqual([
      'At the present 100 MB a day, raw readings of 30 days come to 2.93 GB, and the disk has only 1000 MB left. Make room, keep fewer days, or set a limit with --max-disk: a full disk stops the journal.',
    ]);
  });

  it.each([
    ['that has made room for its days', {}],
    ['of which it is not known for how long it is kept', { retention: null }],
  ])('asks for someone where hardly anything is left of the disk, with a history %s', (_which, over) => {
    expect(urgent({ spareBytes: 1300 * MB, oldestMs: NOW_MS - 30 * DAY_MS, freeBytes: 90 * MB, ...over })).toEqual([
      'The disk has only 90.0 MB left. Make room: a full disk stops the journal.',
    ]);
  });

  it('invents nothing where nothing is known yet', () => {
    expect(texts({ retention: null, freeBytes: null })).toEqual([
      'For how long history is kept is known here once an agent of this version was started.',
    ]);
    expect(texts({ oldestMs: null, oldestMinuteMs: null, freeBytes: null })).toEqual([]);
    // Of an hour of readings no day is reckoned.
    expect(texts({ oldestMs: NOW_MS - DAY_MS / 24, oldestMinuteMs: null, freeBytes: null })).toHaveLength(1);
    expect(diskLines({ ...PLANT, totalBytes: 0 }).map(({ share }) => share)).toEqual([0, 0, 0, 0, 0, 0]);
  });
});
