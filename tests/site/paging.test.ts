import { describe, expect, it, test } from 'vitest';
import { describeSite } from '../../agent/site/describe-site.js';
import { readSite } from '../../agent/site/read-site.js';
import { goodSite } from './fixture-files.js';

const FULL = goodSite('full');

function told(from: string, to: string): readonly (readonly [string, string, string?])[] {
  if (!FULL.includes(from)) throw new Error(`the full site has no "${from}"`);
  const reading = readSite(FULL.replace(from, to), 'site.yaml');
  return (reading.ok ? [] : reading.faults).map(({ rule, key, meant }) => (meant === undefined ? [rule, key] : [rule, key, meant]));
}

describe('people, rota and paging', () => {
  test.each([
    ['to: next-on-call', 'to: next-oncall', 'unknown-person', 'paging.ladders.urgent.steps[1].to', 'next-on-call'],
    ['to: everyone', 'to: mrata', 'unknown-person', 'paging.ladders.urgent.steps[2].to', 'marta'],
    ['people: [marta, jonas]', 'people: [marta, jonsa]', 'unknown-person', 'rota.people[1]', 'jonas'],
    ['password_file: secrets/smtp.txt', 'password: hunter2', 'unknown-key', 'paging.smtp.password', 'password_file'],
    ['repeat_min: 10', 'repeat_s: 10', 'unknown-key', 'paging.ladders.urgent.repeat_s', 'repeat_min'],
    ['stop_after_min: 60', 'stop_after_min: 15', 'ladder-order', 'paging.ladders.urgent.stop_after_min', undefined],
    ['id: jonas', 'id: marta', 'repeated-id', 'people[1].id', undefined],
    ['day: monday', 'day: Monday', 'unknown-value', 'rota.hand_over.day', 'monday'],
    ['at: "07:00"', 'at: "7:00"', 'bad-time', 'rota.hand_over.at', undefined],
    ['first_week: 2026-01-05', 'first_week: 2026-02-30', 'bad-time', 'rota.first_week', undefined],
    ['from: 2026-07-06,', 'from: 2026-06-31,', 'bad-time', 'rota.overrides[0].from', undefined],
    ['security: starttls', 'security: startls', 'unknown-value', 'paging.smtp.security', 'starttls'],
    ['port: 587', 'port: 0', 'out-of-range', 'paging.smtp.port', undefined],
  ])('%s written as %s is refused, with what was meant', (from, to, rule, key, meant) => {
    const faults = told(from, to).filter(([found]) => found === rule);
    expect(faults).toContainEqual(meant === undefined ? [rule, key] : [rule, key, meant]);
  });

  it('keeps its hours on the wall of the site', () => {
    const reading = readSite(FULL, 'site.yaml');
    expect(reading.ok && reading.site.rota).toMatchObject({ handOverDay: 0, firstDate: '2026-01-05' });
    expect(reading.ok && reading.site.rota?.overrides.map(({ fromMs }) => new Date(fromMs).toISOString())).toEqual([
      '2026-07-06T05:00:00.000Z',
      '2026-12-24T11:00:00.000Z',
    ]);
  });

  it('says plainly that nobody is paged where nothing is said of it', () => {
    const reading = readSite(goodSite('minimal'), 'site.yaml');
    expect(reading.ok && describeSite(reading.site)).toContainEqual(expect.stringContaining('Paging: nobody is paged'));
  });
});
