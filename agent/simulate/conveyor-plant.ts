import type { ServiceEntry } from '../contract/service-entry.js';
import type { Conveyor, SideName } from '../site/site.js';
import { ChainPhysics, type Stand } from './chain-physics.js';
import { initialState, type ConveyorState } from './conveyor-state.js';
import type { Delivery } from './delivery.js';
import { entriesOf, stateAfterWork, type WorkPlace } from './do-work.js';
import type { ConveyorScenario } from './scenario.js';
import { segmentBetween, type Segment } from './segment.js';
import { ShiftPlan } from './shift-plan.js';
import type { SignalSource } from './signal-source.js';
import { signalSources, type SourcesSettings } from './signal-sources.js';
import { stateAfterTrouble, stateStruckBy } from './strike.js';
import { standstills, Timetable } from './timetable.js';
import type { PlantTrouble } from './trouble.js';
import type { TruthStep } from './truth.js';
import { TruthDays, type TruthDaysSaved } from './truth-days.js';
import { upsetOf } from './upset.js';
import type { PlantWork } from './work.js';

export interface ConveyorPlantSaved {
  readonly state: ConveyorState;
  readonly truth: TruthDaysSaved;
  /** Entries that are written down later than the work was done. */
  readonly entries: readonly ServiceEntry[];
}

/** Slow things go in straight lines for so long at most; the grid lies on the clock, so cutting time elsewhere changes nothing. */
const GRID_MS = 300_000;
const HOUR_MS = 3600_000;

/** One conveyor of the plant as time passes: segment by segment, with work and troubles in between. */
export class ConveyorPlant {
  readonly physics: ChainPhysics;
  readonly truthDays: TruthDays;
  readonly steps: TruthStep[] = [];
  readonly sources: readonly SignalSource[];
  readonly timetable: Timetable;
  private readonly plan: ShiftPlan;
  private state: ConveyorState;
  private next: ConveyorState;
  private segment: Segment;
  private entries: ServiceEntry[];

  constructor(
    readonly conveyor: Conveyor,
    readonly scenario: ConveyorScenario,
    timezone: string,
    settings: SourcesSettings,
    saved: ConveyorPlantSaved | undefined,
  ) {
    const { seed, afterMs } = settings;
    this.plan = new ShiftPlan(scenario.shifts, [...scenario.shifts.forced, ...standstills(scenario)], timezone, seed, conveyor.id);
    this.timetable = new Timetable(scenario);
    this.physics = new ChainPhysics(conveyor, scenario, this.plan, seed);
    this.truthDays = new TruthDays(conveyor, saved?.truth);
    this.sources = signalSources(conveyor, scenario, settings);
    this.entries = [...(saved?.entries ?? [])];
    this.state = saved?.state ?? this.begin(afterMs + 1);
    this.next = this.state;
    this.segment = this.open();
    if (saved === undefined) {
      // Troubles that were there before the beginning.
      this.strike(this.timetable.lastingOver(this.state.timeMs), this.segment);
      this.segment = this.open();
    }
    this.setUpsets(this.state.timeMs);
  }

  private begin(startMs: number): ConveyorState {
    const state = initialState(this.conveyor, this.scenario, startMs, this.physics.warmth.atRest(startMs));
    return { ...state, running: this.plan.stateAt(startMs).running };
  }

  /** Looks ahead to where the next thing happens. @param begin - where the carriages stand, where that is known already */
  private open(begin?: Stand): Segment {
    const { timeMs } = this.state;
    const gridMs = (Math.floor(timeMs / GRID_MS) + 1) * GRID_MS;
    const toMs = Math.min(gridMs, this.plan.stateAt(timeMs).untilMs, this.timetable.nextAfter(timeMs));
    const lasting = this.timetable.lastingAt(timeMs);
    this.next = this.physics.advance(this.state, toMs, lasting);
    return segmentBetween(this.physics, this.state, this.next, lasting, begin);
  }

  /** Lets time pass up to and with an instant, and sends off all that is read in it. */
  readTo(toMs: number, out: Delivery): void {
    for (;;) {
      const { segment } = this;
      const beforeMs = Math.min(segment.toMs, toMs + 1);
      for (const source of this.sources) source.read(segment, beforeMs, out);
      if (segment.toMs > toMs) return;
      this.passOn(out);
    }
  }

  /** The segment is over: what happens at its end, happens. */
  private passOn(out: Delivery): void {
    const { segment, state } = this;
    const hours = segment.running ? (segment.toMs - segment.fromMs) / HOUR_MS : 0;
    this.truthDays.add(this.plan.dayOf(segment.fromMs).date, hours, this.next, segment.end);
    const lasting = this.timetable.lastingAt(segment.fromMs);
    this.state = this.physics.afterSlips(this.next, lasting);
    const { timeMs } = this.state;
    const happens = this.timetable.nextAfter(segment.fromMs) === timeMs;
    if (happens) this.happen(timeMs, segment);
    const { running } = this.plan.stateAt(timeMs);
    if (running !== this.state.running) this.state = { ...this.state, running };
    // Seized carriages may have slipped: they, too, are looked at anew.
    this.segment = this.open(happens || lasting.length > 0 ? undefined : segment.end);
    if (happens) this.setUpsets(timeMs);
    if (running !== state.running && this.conveyor.running) this.sources[0]?.tell(this.segment, timeMs, out);
  }

  private happen(timeMs: number, segment: Segment): void {
    for (const work of this.timetable.worksAt(timeMs)) this.work(work, segment);
    for (const trouble of this.timetable.endingAt(timeMs)) this.state = stateAfterTrouble(this.state, trouble, this.conveyor);
    this.strike(this.timetable.beginningAt(timeMs), segment);
  }

  private strike(troubles: readonly PlantTrouble[], segment: Segment): void {
    if (troubles.length === 0) return;
    const stand = this.physics.standAt(this.state, this.state.timeMs, this.timetable.lastingAt(segment.fromMs));
    const rawOf = (name: string): number | undefined =>
      this.sources.find(({ settings }) => settings.signal.name === name)?.plainRaw(segment, this.state.timeMs);
    for (const trouble of troubles) this.state = stateStruckBy(this.state, trouble, this.conveyor, stand, rawOf);
  }

  private work(work: PlantWork, segment: Segment): void {
    const { entry, record } = work;
    const before = segment.end;
    const place: WorkPlace = {
      conveyor: this.conveyor,
      standOf: (state) => this.physics.standAt(state, state.timeMs, this.timetable.lastingAt(segment.fromMs)),
      sideMm: (takeup, side) => this.sourceOf(takeup, side).trueValue(segment, segment.toMs) - this.shiftOf(takeup, side),
      driftMm: (takeup, side) => this.sourceOf(takeup, side).driftAt(segment.toMs),
    };
    this.state = stateAfterWork(this.state, entry, place);
    this.entries = [...this.entries, ...entriesOf(work)].sort((a, b) => a.timeMs - b.timeMs);
    const after = place.standOf(this.state);
    const moved = (index: number): number => (after.carriages[index]?.xMm ?? NaN) - (before.carriages[index]?.xMm ?? NaN);
    this.steps.push({
      timeMs: entry.timeMs,
      conveyor: this.conveyor.id,
      ...(entry.takeup === undefined ? {} : { takeup: entry.takeup }),
      ...('side' in entry ? { side: entry.side } : {}),
      kind: entry.kind,
      ...('pitches' in entry ? { pitches: entry.pitches } : {}),
      ...('turns' in entry ? { turns: entry.turns } : {}),
      moveMm: Object.fromEntries(this.conveyor.takeups.map(({ id }, index) => [id, moved(index)])),
      recorded: record.how,
    });
  }

  private setUpsets(timeMs: number): void {
    for (const source of this.sources) {
      source.upset = upsetOf(this.timetable.signalTroubles, source.settings.signal.name, timeMs, this.state.frozen);
    }
  }

  private sourceOf(takeup: number, side: SideName): SignalSource {
    const signal = this.conveyor.takeups[takeup]?.sides[side].position;
    const source = this.sources.find(({ settings }) => settings.signal === signal);
    if (source === undefined) throw new Error(`${this.conveyor.id} has no position of take-up ${String(takeup)}`);
    return source;
  }

  private shiftOf(takeup: number, side: SideName): number {
    return this.state.carriages[takeup]?.[side].shiftMm ?? 0;
  }

  /** Service entries that are written down by a time, in order; each is given once. */
  takeEntries(toMs: number): readonly ServiceEntry[] {
    const due = this.entries.filter(({ timeMs }) => timeMs <= toMs);
    if (due.length > 0) this.entries = this.entries.filter(({ timeMs }) => timeMs > toMs);
    return due;
  }

  /** The state and the stand at a time within the open segment. */
  at(timeMs: number): { readonly state: ConveyorState; readonly stand: Stand } {
    const { state } = this;
    const lasting = this.timetable.lastingAt(state.timeMs);
    const then = timeMs > state.timeMs ? this.physics.advance(state, timeMs, lasting) : state;
    return { state: then, stand: this.physics.standAt(then, timeMs, lasting) };
  }

  save(): ConveyorPlantSaved {
    return { state: this.state, truth: this.truthDays.save(), entries: this.entries };
  }
}
