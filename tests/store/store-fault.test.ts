import { describe, expect, it } from 'vitest';
import { asStoreFault, storeFault } from '../../agent/store/store-fault.js';

function sqliteError(code: string): Error {
  return Object.assign(new Error('as SQLite says it'), { code });
}

describe('a failure of the store', () => {
  it.each([
    ['SQLITE_FULL', 'store-disk-full', 'store-disk-full'],
    ['SQLITE_IOERR_WRITE', 'store-disk-failing', 'store-disk-failing'],
    ['SQLITE_IOERR_SHMSIZE', 'store-disk-failing', 'store-disk-failing'],
    ['SQLITE_CORRUPT_INDEX', 'store-damaged', 'store-damaged'],
    ['SQLITE_NOTADB', 'store-damaged', 'store-damaged'],
    ['SQLITE_BUSY_SNAPSHOT', 'store-busy', 'store-busy'],
    ['SQLITE_READONLY_DIRECTORY', 'store-unwritable', 'store-unreadable'],
    ['SQLITE_CANTOPEN', 'store-unwritable', 'store-unreadable'],
    ['EACCES', 'store-unwritable', 'store-unreadable'],
  ])('(%s) is %s to the agent and %s to the web, with the path and one line of what to do', (code, writing, reading) => {
    const faults = [
      asStoreFault('data/takeline.sqlite', 'write', sqliteError(code)),
      asStoreFault('data/takeline.sqlite', 'read', sqliteError(code)),
    ];
    expect(faults).toMatchObject([{ code: writing }, { code: reading }]);
    for (const { message } of faults) expect(message).toMatch(/^data\/takeline\.sqlite: [^\n]+; [^\n]+$/);
  });

  it('stays what it is where it is no failure of the world', () => {
    const ours = sqliteError('SQLITE_CONSTRAINT_NOTNULL');
    const fault = storeFault('store-in-use', 'data', 'another agent');
    const broken = new RangeError('there is no signal 7');
    expect(asStoreFault('data', 'write', ours)).toBe(ours);
    expect(asStoreFault('data', 'write', fault)).toBe(fault);
    expect(asStoreFault('data', 'write', broken)).toBe(broken);
    expect(asStoreFault('data', 'write', 'a word')).toEqual(new Error('a word'));
  });
});
