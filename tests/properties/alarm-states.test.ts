import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AlarmKey, AlarmState } from '../../agent/flow/alarm-key.js';
import { AlarmBook, type AlarmBookSaved } from '../../agent/flow/alarm/alarm-book.js';
import type { Output } from '../../agent/flow/output.js';
import type { Conveyor } from '../../agent/site/site.js';
import { testSite } from '../flow/way/test-site.js';

const CONVEYOR: Conveyor = testSite({
  conveyor: { signals: { running: {} } },
  takeup: { limits: { 'carriage-jump': { on_delay_s: 30 }, 'change-unrecorded': { latch: true, off_delay_s: 20 } } },
}).conveyors[0]!;
const TOLD = ['carriage-jump', 'change-unrecorded'] as const;
const ALARMS = [...TOLD, 'spring-solid', 'spring-near-solid', 'spring-slack', 'stroke-end'] as const satisfies readonly AlarmKey[];
const SECOND = 1000;
/** A real time: at 0 nothing has happened yet. */
const BEGIN_MS = Date.UTC(2026, 1, 2);

/** Something that happens to the alarms of a take-up at a time. */
type Happening = (book: AlarmBook, timeMs: number, out: Output[]) => void;

const judged: fc.Arbitrary<Happening> = fc
  .record({
    measure: fc.constantFrom('spring-side', 'compression-side', 'remaining-side', 'remaining'),
    side: fc.constantFrom(0, 1),
    // About the set-points of a spring of 150 mm solid, of slack and of the end of the stroke; and unknown.
    value: fc.constantFrom(5, 12, 30, 60, 150.5, 155, 170, NaN),
    running: fc.constantFrom(1, 1, 0, NaN),
  })
  .map(({ measure, side, value, running }) => (book, timeMs, out) => {
    for (const watch of book.watchesOf(0, measure))
      watch.judge(watch.twoSided ? side : 0, value, { timeMs, runningMs: timeMs, running }, out);
  });
const told: fc.Arbitrary<Happening> = fc.tuple(fc.constantFrom(...TOLD), fc.boolean()).map(([key, up]) => (book, timeMs, out) => {
  book.tell({ key, takeup: 'tu1', up, timeMs, value: 9, limit: 8 }, out);
});
/** Whether a service is open the service entries say: whoever reads a book back tells it again. */
const services = new WeakMap<AlarmBook, readonly [open: boolean, releasedMs: number]>();
const serve = (book: AlarmBook, [open, releasedMs]: readonly [boolean, number], nowMs: number, out: Output[]): void => {
  book.setService(0, open, releasedMs, nowMs, out);
  services.set(book, [open, releasedMs]);
};
const served: fc.Arbitrary<Happening> = fc.boolean().map((open) => (book, timeMs, out) => {
  serve(book, [open, open ? -Infinity : timeMs], timeMs, out);
});
const ran: fc.Arbitrary<Happening> = fc.constantFrom(1, 0, NaN).map((running) => (book, timeMs, out) => {
  book.runs(timeMs, running, out);
});
const kind = fc.constantFrom('acknowledge', 'acknowledge', 'shelve', 'unshelve', 'out-of-service', 'in-service');
const acted: fc.Arbitrary<Happening> = fc
  .tuple(fc.constantFrom(...ALARMS), kind, fc.integer({ min: 1, max: 300 }))
  .map(([alarm, what, seconds]) => (book, timeMs, out) => {
    book.act({ takeup: 'tu1', alarm }, { kind: what, by: 'Kari', why: 'because', untilMs: timeMs + seconds * SECOND }, timeMs, out);
  });
const happenings = fc.array(fc.tuple(fc.integer({ min: 0, max: 90 }), fc.oneof(judged, judged, told, served, ran, acted)), {
  minLength: 1,
  maxLength: 60,
});

function resumed(book: AlarmBook): AlarmBook {
  const back = new AlarmBook(CONVEYOR, JSON.parse(JSON.stringify(book.save())) as AlarmBookSaved);
  const service = services.get(book);
  if (service) serve(back, service, Infinity, []);
  return back;
}

/** Lets each happen in its turn, what falls due in between before it. @param cut - after so many the book is saved and read back */
function lived(all: readonly (readonly [seconds: number, happening: Happening])[], cut = Infinity): { book: AlarmBook; out: Output[] } {
  const out: Output[] = [];
  let book = new AlarmBook(CONVEYOR);
  let timeMs = BEGIN_MS;
  all.forEach(([seconds, happening], i) => {
    if (i === cut) book = resumed(book);
    timeMs += seconds * SECOND;
    while (book.dueMs <= timeMs) book.fallDue(book.dueMs, out);
    happening(book, timeMs, out);
  });
  return { book, out };
}

describe('whatever happens to the alarms of a take-up', () => {
  it('split anywhere, saved as JSON and resumed, it is told and saved in the same words', () => {
    fc.assert(
      fc.property(happenings, fc.nat(60), (all, cut) => {
        const [whole, split] = [lived(all), lived(all, cut)];
        expect(split.out).toEqual(whole.out);
        expect(JSON.stringify(split.book.save())).toBe(JSON.stringify(whole.book.save()));
      }),
      { numRuns: 400 },
    );
  });

  it('each transition begins in the state in which the one before it ended, and the last one is the state', () => {
    fc.assert(
      fc.property(happenings, (all) => {
        const { book, out } = lived(all);
        const states = new Map<AlarmKey, AlarmState>();
        for (const event of out) {
          if (event.kind !== 'alarm') continue;
          expect(event.from, `${event.alarm} ${event.change}`).toBe(states.get(event.alarm) ?? 'normal');
          states.set(event.alarm, event.to);
        }
        for (const alarm of ALARMS) expect(book.stateOf({ takeup: 'tu1', alarm })).toBe(states.get(alarm) ?? 'normal');
      }),
      { numRuns: 400 },
    );
  });

  it('no alarm is shelved beyond its time, suppressed without a cause, or unacknowledged while a service is open', () => {
    fc.assert(
      fc.property(happenings, (all) => {
        let open = false;
        const watched = all.map(([seconds, happening]): readonly [number, Happening] => [
          seconds,
          (book, timeMs, out) => {
            happening(book, timeMs, out);
            open = book.serviceOpen(0);
            for (const record of book.standing('tu1')) {
              expect(record.shelf?.untilMs ?? Infinity).toBeGreaterThan(timeMs);
              if (record.state === 'suppressed-by-design') expect(record.suppressedBy).toBeDefined();
              if (open) expect(['suppressed-by-design', 'shelved', 'out-of-service'], record.key).toContain(record.state);
            }
          },
        ]);
        lived(watched);
      }),
      { numRuns: 400 },
    );
  });
});
