import type { Paging, Person, Site } from '../../site/site.js';
import type { AlarmState } from '../alarm-key.js';
import { allLost, callDueMs, isOver, joins, ladderOf, nextStep, openAlarms, placeIn, stepTaken, stopMs, type Call } from './call.js';
import { alarmIdentity, occurrenceOf, placeOf, type Occurrence, type PagedEvent, type PagedPlace } from './occurrence.js';
import { UNANSWERED_ALARM, type NoPageReason, type PageOutput } from './page-output.js';
import { channelsOf, targetsAt } from './targets.js';

export interface PageDeskSaved {
  readonly version: 1;
  /** The latest that the machine's clock has said. */
  readonly latestMs: number;
  readonly calls: readonly Call[];
  /** When alarms rose that are shelved, suppressed or out of service. */
  readonly held: Readonly<Record<string, number>>;
}

/** An urgent page goes out as soon as nothing has come for so long: what one cause sets off comes in one burst … */
const BREATH_MS = 200;
/** … and after so long whatever still comes. */
const LONGEST_BREATH_MS = 2000;
/** The machine's clock was set back by more than this: what waits must not wait the longer for it. */
const SET_BACK_MS = 5000;
/** A call whose alarms went back to normal by themselves is let go of after so long. */
const FORGET_MS = 24 * 3_600_000;

const HELD: Readonly<Partial<Record<AlarmState, NoPageReason>>> = {
  shelved: 'shelved',
  'suppressed-by-design': 'suppressed-by-design',
  'out-of-service': 'out-of-service',
};

/** Who is woken, when: takes the transitions of alarms and the passing of time, and gives pages. It knows no clock of its own. */
export class PageDesk {
  private latestMs: number;
  private calls: Call[];
  private readonly held: Map<string, number>;
  private readonly paging: Paging | undefined;

  constructor(
    private readonly site: Site,
    saved?: PageDeskSaved,
  ) {
    this.latestMs = saved?.latestMs ?? 0;
    this.calls = (saved?.calls ?? []).map((call) => ({ ...call, alarms: [...call.alarms], told: { ...call.told } }));
    this.held = new Map(Object.entries(saved?.held ?? {}));
    const { paging } = site;
    const reaches = paging !== undefined && (paging.smtp !== undefined || paging.webhook !== undefined);
    this.paging = reaches && Object.keys(paging.ladders).length > 0 && site.people.length > 0 ? paging : undefined;
  }

  /** When `pass` has something to do next; Infinity where only an alarm or a person can set it going. */
  get dueMs(): number {
    const { paging } = this;
    return paging === undefined ? Infinity : Math.min(Infinity, ...this.calls.map((call) => callDueMs(call, paging)));
  }

  /** Takes a transition of an alarm. @param nowMs - by the machine's clock, on which people live */
  event(event: PagedEvent, nowMs: number): PageOutput[] {
    this.hearClock(nowMs);
    const place = placeOf(event);
    const identity = alarmIdentity(event);
    const { to } = event;
    const no = (reason: NoPageReason): PageOutput => ({ kind: 'no-page', reason, timeMs: nowMs, place });
    if (to === 'unacknowledged') {
      if (event.alarm === UNANSWERED_ALARM) return [no('about-a-page')];
      const sinceMs = event.change === 'raised' ? event.timeMs : (this.held.get(identity) ?? event.timeMs);
      this.held.delete(identity);
      return this.rose(occurrenceOf(event, sinceMs), identity, nowMs, no);
    }
    if (to === 'returned-unacknowledged') return this.returned(identity, no);
    const reason = HELD[to] ?? 'acknowledged';
    const untold = this.calls.some((call) => call.lastMs === null && placeIn(call, identity) >= 0);
    if (HELD[to] === undefined) this.held.delete(identity);
    else this.held.set(identity, this.sinceOf(identity) ?? Math.round(event.timeMs));
    const closed = this.over(identity, nowMs);
    return untold || (event.change === 'raised' && HELD[to] !== undefined) ? [no(reason), ...closed] : closed;
  }

  /** Nothing reached a person: if that was everybody who was paged, the next step follows at once. */
  failed(callId: string, person: string): void {
    for (const call of this.calls) if (call.id === callId && !call.lost.includes(person)) call.lost = [...call.lost, person];
  }

  /** Lets time pass: pages that are due, and calls that nobody answered. @param undelivered - `undeliveredKey`s still in the outbox */
  pass(nowMs: number, undelivered: ReadonlySet<string> = new Set()): PageOutput[] {
    const { paging } = this;
    this.hearClock(nowMs);
    if (paging === undefined) return [];
    const out: PageOutput[] = [];
    for (const call of this.calls) {
      // One round may lead to the next at once, where it reaches nobody; a ladder has an end.
      for (let dueMs = callDueMs(call, paging); dueMs <= nowMs; dueMs = callDueMs(call, paging)) {
        this.round(call, paging, nowMs, undelivered, out);
      }
    }
    this.calls = this.calls.filter((call) => openAlarms(call).length > 0 || nowMs - (call.lastMs ?? nowMs) < FORGET_MS || call.unanswered);
    return out;
  }

  save(): PageDeskSaved {
    return { version: 1, latestMs: this.latestMs, calls: this.calls, held: Object.fromEntries(this.held) };
  }

  private hearClock(nowMs: number): void {
    const backMs = this.latestMs - nowMs;
    this.latestMs = nowMs;
    if (backMs < SET_BACK_MS) return;
    for (const call of this.calls) {
      call.openedMs -= backMs;
      call.firstMs -= backMs;
      call.stepsDoneMs -= backMs;
      if (call.lastMs !== null) call.lastMs -= backMs;
      if (call.urgentMs !== null) call.urgentMs -= backMs;
    }
  }

  private rose(occurrence: Occurrence, identity: string, nowMs: number, no: (reason: NoPageReason) => PageOutput): PageOutput[] {
    const { paging } = this;
    if (paging === undefined) return [no('not-configured')];
    if (paging.ladders[occurrence.priority] === undefined) return [no('no-ladder')];
    for (const call of this.calls) {
      const at = placeIn(call, identity);
      if (at < 0) continue;
      if (isOver(call, nowMs)) {
        call.alarms[at] = null;
        continue;
      }
      call.alarms[at] = occurrence;
      return [no('already-paged')];
    }
    this.letGo();
    const related = this.calls.find((call) => call.lastMs !== null && joins(occurrence, call, nowMs, paging));
    if (related !== undefined) {
      related.alarms.push(occurrence);
      return [no('joined')];
    }
    this.gather(occurrence, identity, nowMs, paging);
    return [];
  }

  private gather(occurrence: Occurrence, identity: string, nowMs: number, { groupMs }: Paging): void {
    let call = this.calls.find(({ lastMs }) => lastMs === null);
    if (call === undefined) {
      call = {
        ...{ id: `${identity}|${String(occurrence.sinceMs)}`, openedMs: nowMs, firstMs: nowMs + groupMs, urgentMs: null, lastMs: null },
        ...{ stepsDoneMs: nowMs - 1, rounds: 0, alarms: [], told: {}, lost: [], unanswered: null },
      };
      this.calls.push(call);
    }
    call.alarms.push(occurrence);
    if (occurrence.priority === 'urgent') call.urgentMs ??= nowMs;
    if (call.urgentMs !== null) call.firstMs = Math.min(call.openedMs + groupMs, call.urgentMs + LONGEST_BREATH_MS, nowMs + BREATH_MS);
  }

  private returned(identity: string, no: (reason: NoPageReason) => PageOutput): PageOutput[] {
    for (const call of this.calls) {
      const at = placeIn(call, identity);
      const alarm = call.alarms[at];
      if (!alarm) continue;
      call.alarms[at] = { ...alarm, returned: true };
      if (call.lastMs !== null || openAlarms(call).includes(call.alarms[at])) return [];
      call.alarms[at] = null;
      this.letGo();
      return [no('over-before-page')];
    }
    return [];
  }

  private sinceOf(identity: string): number | undefined {
    return this.calls.flatMap((call) => call.alarms[placeIn(call, identity)] ?? [])[0]?.sinceMs;
  }

  /** An alarm wants nobody any longer. */
  private over(identity: string, nowMs: number): PageOutput[] {
    const out: PageOutput[] = [];
    for (const call of this.calls) {
      const at = placeIn(call, identity);
      if (at < 0) continue;
      call.alarms[at] = null;
      if (call.unanswered !== null && call.alarms.every((alarm) => alarm === null)) this.answered(call, call.unanswered, nowMs, out);
    }
    this.letGo();
    return out;
  }

  private letGo(): void {
    this.calls = this.calls.filter(({ alarms }) => alarms.some((alarm) => alarm !== null));
  }

  private answered(call: Call, place: PagedPlace, timeMs: number, out: PageOutput[]): void {
    call.unanswered = null;
    // Another call at the same place may still be without an answer.
    if (this.calls.some(({ unanswered }) => unanswered !== null && alarmIdentity(unanswered) === alarmIdentity(place))) return;
    out.push({ kind: 'unanswered', up: false, call: call.id, timeMs, place, openMs: timeMs - call.openedMs, allowedMs: 0 });
  }

  private round(call: Call, paging: Paging, nowMs: number, undelivered: ReadonlySet<string>, out: PageOutput[]): void {
    const ladder = ladderOf(call, paging);
    if (ladder === undefined) return;
    const next = nextStep(call, ladder);
    const ended = next === undefined && call.lastMs !== null && (allLost(call) || nowMs >= stopMs(call, ladder));
    if (ended) {
      const [first] = openAlarms(call);
      call.unanswered = unansweredPlace(first as Occurrence);
      const openMs = nowMs - call.openedMs;
      out.push({
        kind: 'unanswered',
        up: true,
        call: call.id,
        timeMs: nowMs,
        place: call.unanswered,
        openMs,
        allowedMs: ladder.stopAfterMs,
      });
      return;
    }
    // Where nobody could be reached, the next step is taken before its time.
    const early = call.lastMs !== null && next !== undefined && allLost(call) ? call.openedMs + next.afterMs : -Infinity;
    const doneMs = Math.max(nowMs, early);
    const fresh = ladder.steps.filter(({ afterMs }) => {
      const atMs = call.openedMs + afterMs;
      return atMs > call.stepsDoneMs && atMs <= doneMs;
    });
    if (fresh.length > 0) call.stepsDoneMs = doneMs;
    call.lastMs = nowMs;
    call.rounds++;
    const steps = fresh.length > 0 ? fresh : [stepTaken(call, ladder)];
    this.page(
      call,
      steps.map(({ to }) => to),
      fresh.length === 0,
      nowMs,
      undelivered,
      out,
    );
  }

  private page(
    call: Call,
    to: readonly string[],
    repeated: boolean,
    nowMs: number,
    undelivered: ReadonlySet<string>,
    out: PageOutput[],
  ): void {
    const people = new Set<Person>(to.flatMap((step) => targetsAt(this.site, step, nowMs)));
    const { id, openedMs, rounds, told } = call;
    if (people.size === 0) out.push({ kind: 'no-page', reason: 'nobody-on-call', timeMs: nowMs, call: id });
    for (const person of people) {
      const no = (reason: NoPageReason): void => void out.push({ kind: 'no-page', reason, timeMs: nowMs, call: id, person: person.id });
      const again = told[person.id] !== undefined;
      const channels = channelsOf(this.site, person);
      if (channels.length === 0) no('no-channel');
      else if (again && !repeated && told[person.id] === call.alarms.length) no('already-paged');
      else if (undelivered.has(undeliveredKey(id, person.id))) no('earlier-page-on-its-way');
      else {
        told[person.id] = call.alarms.length;
        const next = this.nextOf(call);
        const base = { kind: 'page', id: `${id}/${String(rounds)}/${person.id}`, call: id, person: person.id, channels } as const;
        out.push({ ...base, round: rounds, again, madeMs: nowMs, openedMs, alarms: openAlarms(call), ...(next && { next }) });
      }
    }
  }

  private nextOf(call: Call): { readonly atMs: number; readonly to: string } | undefined {
    const ladder = this.paging && ladderOf(call, this.paging);
    const step = ladder && nextStep(call, ladder);
    return step && { atMs: call.openedMs + step.afterMs, to: step.to };
  }
}

/** What says that a page to somebody of a call waits to be delivered. */
export function undeliveredKey(call: string, person: string): string {
  return `${call} ${person}`;
}

/** Said at the take-up, or at the signal where it belongs to none. */
function unansweredPlace({ conveyor, takeup, signal }: PagedPlace): PagedPlace {
  return placeOf({ conveyor, takeup, signal: takeup === undefined ? signal : undefined, alarm: UNANSWERED_ALARM });
}
