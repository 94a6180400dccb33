import { describe, expect, it } from 'vitest';
import {
  changeOf,
  faultsIn,
  isTicked,
  keep,
  keptWords,
  othersWriting,
  parseKept,
  renewed,
  settled,
  stepsAll,
  stepsLeft,
  takenIn,
  textIn,
  ticked,
  typedIn,
  waits,
} from '../../../../web/client/logic/kept-card.js';
import { cardWith, filled } from './a-card.js';

const METRIC = { units: 'metric', timezone: 'Europe/Oslo', me: 'kari' } as const;

describe('a card on a phone', () => {
  it('tells the server what is new in it, in the server’s own units and forms', () => {
    let kept = keep(cardWith(2));
    kept = typedIn(kept, 'found-position-left', '209,5');
    kept = typedIn(kept, 'done-at', '2026-03-02T09:41');
    kept = ticked(kept, 'prepare', true);
    expect(changeOf(kept, METRIC)).toEqual({
      version: 1,
      blanks: { 'found-position-left': 209.5, 'done-at': '2026-03-02T08:41:00Z' },
      ticks: { prepare: true },
    });
    const inches = typedIn(keep(cardWith(2)), 'found-position-left', '8.25');
    expect(changeOf(inches, { ...METRIC, units: 'imperial' })?.blanks).toEqual({ 'found-position-left': 209.55 });
  });

  it('reads as it was typed until the server has it, and then as the server does', () => {
    const card = cardWith(2, { blanks: { 'done-pitches': filled(2, 'ola', 1) }, ticks: {} });
    const kept = typedIn(keep(card), 'found-note', 'pin bent');
    expect(textIn(kept, 'done-pitches', METRIC)).toBe('2');
    expect(textIn(kept, 'found-note', METRIC)).toBe('pin bent');
    expect(textIn(kept, 'done-note', METRIC)).toBe('');
    const answer = cardWith(2, { version: 2, blanks: { 'found-note': filled('pin bent', 'kari', 2) } });
    const change = changeOf(kept, METRIC);
    if (change === undefined) throw new Error('there is something to tell');
    const after = takenIn(kept, kept, change, answer, METRIC);
    expect(after.typed).toEqual({});
    expect(textIn(after, 'found-note', METRIC)).toBe('pin bent');
    expect(waits(after, METRIC)).toBe(false);
  });

  it('keeps what was typed while an answer was on its way', () => {
    const sent = ticked(typedIn(keep(cardWith(2)), 'found-note', 'pin'), 'prepare', true);
    const change = changeOf(sent, METRIC);
    if (change === undefined) throw new Error('there is something to tell');
    const meanwhile = ticked(typedIn(sent, 'found-note', 'pin bent'), 'isolate', true);
    const after = takenIn(meanwhile, sent, change, cardWith(2, { version: 2 }), METRIC);
    expect(after.typed).toEqual({ 'found-note': 'pin bent' });
    expect(after.ticks).toEqual({ isolate: true });
    expect(changeOf(after, METRIC)?.version).toBe(2);
  });

  it('neither sends nor loses what cannot be read', () => {
    const kept = typedIn(typedIn(keep(cardWith(2)), 'done-pitches', 'two'), 'done-note', 'well');
    expect(faultsIn(kept, METRIC)).toEqual({ 'done-pitches': 'Give a number, such as 12 or 12.5.' });
    const change = changeOf(kept, METRIC);
    expect(change?.blanks).toEqual({ 'done-note': 'well' });
    const after = takenIn(kept, kept, change ?? { version: 1 }, cardWith(2, { version: 2 }), METRIC);
    expect(textIn(after, 'done-pitches', METRIC)).toBe('two');
    expect(keptWords(after, true, METRIC)).toContain('a marked blank cannot be sent');
  });

  it('empties a blank that was filled in', () => {
    const kept = typedIn(keep(cardWith(2, { blanks: { 'done-note': filled('x', 'ola', 1) } })), 'done-note', '');
    expect(changeOf(kept, METRIC)?.blanks).toEqual({ 'done-note': null });
  });

  it('counts its steps, those that others ticked with them', () => {
    const at = '2026-03-02T08:00:00Z';
    const card = cardWith(2, { ticks: { prepare: { done: true, by: 'ola', at, version: 1 } } });
    const kept = ticked(keep(card), 'isolate', true);
    expect(isTicked(kept, 'prepare')).toBe(true);
    expect(stepsLeft(kept)).toHaveLength(stepsAll(kept) - 2);
    expect(isTicked(ticked(kept, 'prepare', false), 'prepare')).toBe(false);
  });
});

describe('two people on one card', () => {
  const mine = typedIn(keep(cardWith(2)), 'done-pitches', '2');
  const theirs = cardWith(2, { version: 3, blanks: { 'done-pitches': filled(4, 'ola', 3), 'done-note': filled('x', 'ola', 2) } });

  it('are asked whose writing holds where both wrote in the same blank, and nothing is sent before', () => {
    const kept = renewed(mine, theirs, METRIC);
    expect(kept.clashes).toEqual({ 'done-pitches': { theirs: 4, by: 'ola' } });
    expect(changeOf(kept, METRIC)).toBeUndefined();
    expect(keptWords(kept, true, METRIC)).toContain('say which holds');
    expect(textIn(kept, 'done-note', METRIC)).toBe('x');
  });

  it('and what they say holds', () => {
    const kept = renewed(mine, theirs, METRIC);
    expect(changeOf(settled(kept, 'done-pitches', 'mine'), METRIC)).toMatchObject({ version: 3, blanks: { 'done-pitches': 2 } });
    const taken = settled(kept, 'done-pitches', 'theirs');
    expect(textIn(taken, 'done-pitches', METRIC)).toBe('4');
    expect(waits(taken, METRIC)).toBe(false);
  });

  it('do not clash with themselves, nor where they wrote the same', () => {
    expect(renewed(typedIn(mine, 'done-pitches', '4'), theirs, METRIC).clashes).toEqual({});
    expect(renewed(mine, theirs, { ...METRIC, me: 'ola' }).clashes).toEqual({});
  });

  it('see no older word of the server than they had', () => {
    const kept = keep(theirs);
    expect(renewed(kept, cardWith(2, { version: 2 }), METRIC).card.version).toBe(3);
  });
});

describe('a lost connection', () => {
  it('is said, and what is to be done when it is back', () => {
    const kept = typedIn(keep(cardWith(2)), 'done-note', 'x');
    expect(keptWords(kept, false, METRIC)).toBe('Kept on this device. No connection: it is sent as soon as there is one.');
    expect(keptWords({ ...kept, closing: true }, false, METRIC)).toBe(
      'Kept on this device. No connection: the card is closed as soon as there is one.',
    );
    expect(keptWords(kept, true, METRIC)).toContain('being sent');
  });

  it('and a reload take nothing away', () => {
    const kept = { ...ticked(typedIn(keep(cardWith(2)), 'done-note', 'x'), 'prepare', true), closing: true };
    expect(parseKept(JSON.stringify(kept))).toEqual(kept);
  });

  it.each(['', 'null', '{}', '[1]', '{"card":{"number":1}}', 'not json'])('%s is no card that was kept', (text) => {
    expect(parseKept(text)).toBeUndefined();
  });
});

describe('what the server refuses', () => {
  it('is said until somebody changes something', () => {
    const kept = { ...typedIn(keep(cardWith(2)), 'done-note', 'x'), refused: 'The card is closed.' };
    expect(waits(kept, METRIC)).toBe(false);
    expect(keptWords(kept, true, METRIC)).toBe('Not taken: The card is closed.');
    expect(keptWords(typedIn(kept, 'done-note', 'y'), true, METRIC)).not.toContain('Not taken');
  });
});

describe('a device that goes from hand to hand', () => {
  it('says whose writing waits on it, to everybody but that person', () => {
    const kept = { ...ticked(keep(cardWith(2)), 'prepare', true), by: 'kari' };
    expect(othersWriting(kept, 'kari')).toBeUndefined();
    expect(othersWriting(kept, 'ola')).toBe('kari');
    // A blank that cannot be sent as it is stands there all the same.
    expect(othersWriting({ ...typedIn(keep(cardWith(2)), 'done-pitches', 'four'), by: 'kari' }, 'ola')).toBe('kari');
    expect(othersWriting({ ...keep(cardWith(2)), by: 'kari', closing: true }, 'ola')).toBe('kari');
  });

  it('is anybody’s once everything is sent, or where an early version did not keep who wrote', () => {
    expect(othersWriting({ ...keep(cardWith(2)), by: 'kari' }, 'ola')).toBeUndefined();
    expect(othersWriting(ticked(keep(cardWith(2)), 'prepare', true), 'ola')).toBeUndefined();
  });
});
