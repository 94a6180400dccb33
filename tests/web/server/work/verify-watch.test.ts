import { describe, expect, it } from 'vitest';
import type { TakeupNow } from '../../../../agent/contract/messages.js';
import type { SettledDayOutput } from '../../../../agent/flow/output.js';
import type { KeptCard } from '../../../../web/server/logic/card.js';
import { VerifyWatch } from '../../../../web/server/work/verify-watch.js';
import { cardFor, CardsInMemory } from '../../a-card.js';
import { siteWith } from '../../a-site.js';
import { nowOf } from '../../a-takeup.js';

const ENDED = '2026-03-02T09:00:00Z';
const HOUR_MS = 3_600_000;
const SITE = siteWith(1);

/** A card that was closed when the conveyor had run for a thousand hours. */
const closed = (different: Partial<KeptCard> = {}) =>
  cardFor(SITE, { state: 'closed', ended: { by: 'kari', at: ENDED }, restartRunHours: 1000, ...different });

const settledAfter = (runHours: number, positionMm: number) =>
  nowOf({
    positionMm,
    settledMm: positionMm,
    settledAt: '2026-03-02T11:00:00Z',
    settledRunHours: 1000 + runHours,
    runHours: 1000 + runHours,
  });

const day = (date: string, positionMm: number): SettledDayOutput => ({
  ...{ kind: 'settled-day', date, conveyor: 'line1', takeup: 'tu1', windows: 40, positionMm, skewMm: 1, breathingMm: 3 },
  ...{ thermalMm: 20, elasticMm: 0, pitches: 3196, elongationPct: 0.4, wearPerJointMm: 0.3, springLeftMm: 285, springRightMm: 283 },
  ...{ strandTensionN: 1200, flag: 'value' },
});

async function looked(
  card: KeptCard,
  now: TakeupNow | undefined,
  hoursLater: number,
  days: readonly SettledDayOutput[] = [],
): Promise<KeptCard> {
  const cards = new CardsInMemory(card);
  const watch = new VerifyWatch({
    ...{ cards, timezone: 'Europe/Oslo', heardOf: () => now, tellWork: () => undefined },
    history: { settledDays: (_conveyor, _takeup, from, to) => Promise.resolve(days.filter(({ date }) => date >= from && date <= to)) },
    clock: { nowMs: () => Date.parse(ENDED) + hoursLater * HOUR_MS },
  });
  await watch.look();
  return cards.find(card.number) ?? card;
}

describe('the position that a closed card is held against', () => {
  it('is the first that settled after an hour of running, not before, however long it stood', async () => {
    expect((await looked(closed(), settledAfter(0.9, 60), 40)).after).toBeUndefined();
    const { after, version } = await looked(closed(), settledAfter(1, 52.5), 2);
    expect(after).toMatchObject({ positionMm: 52.5, asOf: '2026-03-02T11:00:00Z', pitches: 3200 });
    expect(version).toBe(2);
  });

  it('stays what it was once it is caught', async () => {
    const caught = await looked(closed(), settledAfter(1, 52.5), 2);
    expect((await looked(caught, settledAfter(9, 70), 10)).after).toEqual(caught.after);
  });

  it('counts the hour from the first that is heard of the conveyor where nobody heard it at the restart', async () => {
    const { restartRunHours, ...silent } = closed();
    expect(restartRunHours).toBe(1000);
    const heard = await looked(silent, settledAfter(3, 52.5), 4);
    expect(heard).toMatchObject({ restartRunHours: 1003 });
    expect(heard.after).toBeUndefined();
    expect((await looked(heard, settledAfter(4, 52.5), 5)).after).toMatchObject({ positionMm: 52.5 });
  });

  it('is that of the first whole day after the work where nobody listened then', async () => {
    const days = [day('2026-03-01', 205), day('2026-03-02', 120), day('2026-03-03', 53), day('2026-03-04', 54)];
    expect((await looked(closed(), undefined, 30, days)).after).toBeUndefined();
    expect((await looked(closed(), undefined, 60, days)).after).toMatchObject({ asOf: '2026-03-03', positionMm: 53, pitches: 3196 });
  });

  it('is not looked for on a card that is open', async () => {
    expect((await looked(closed({ state: 'open' }), settledAfter(2, 52), 3)).after).toBeUndefined();
  });
});
