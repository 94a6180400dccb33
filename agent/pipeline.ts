import type { ServiceEntry } from './contract/service-entry.js';
import type { AlarmAct } from './flow/alarm/alarm-act.js';
import type { AlarmName } from './flow/alarm/alarm-name.js';
import type { Output } from './flow/output.js';
import { ConveyorWay } from './flow/way/conveyor-way.js';
import { DEFAULT_SETTINGS, type WaySettings } from './flow/way/site-settings.js';
import { Block, type LookOn, type Passage, type Place, type SignalRows } from './flow/way/block.js';
import type { ShelfOf } from './flow/way/chain-account.js';
import type { ConveyorWaySaved } from './flow/way/saved.js';
import { conveyorSignals, type Site } from './site/site.js';
import { LocalDays } from './units/local-day.js';

/**
 * THE MAP: the way of a reading, step by step, and what leaves each step. A step imports only steps above it; `ConveyorWay` hands
 * each thing on. Live, replay, the bench and the tests call nothing else.
 *
 *  payload ─▶ Reading ─▶ Sample ─▶ Position ─▶ TakeupState ─▶ ChainLength ─▶ Forecast ─▶ Finding ─▶ AlarmEvent ─▶ Page
 */
export const STEPS = [
  { step: 'reading', leaves: 'a number and its time, out of a payload' },
  { step: 'sample', leaves: 'an engineering value that is valid, or why it is not' },
  { step: 'position', leaves: 'spike-free and smoothed positions; settled windows' },
  { step: 'service', leaves: 'service entries, corrections applied' },
  { step: 'takeup', leaves: 'travel, skew, springs, forces, tension' },
  { step: 'ledger', leaves: 'pitches, elongation, heat, elastic stretch; days' },
  { step: 'trend', leaves: 'wear a day and the dates it leads to' },
  { step: 'finding', leaves: 'what the carriage says, and the entry that would explain it' },
  { step: 'alarm', leaves: 'alarms that rise and clear' },
  { step: 'page', leaves: 'who is woken, when, and in what words' },
] as const;

/** What the pipeline takes. Times are the data's own, in ms since the epoch. */
export type Input =
  | { readonly kind: 'reading'; readonly signal: number; readonly timeMs: number; readonly raw: number }
  | { readonly kind: 'service'; readonly timeMs: number; readonly entry: ServiceEntry }
  /** A person acknowledges an alarm, sets it aside, or takes it back. */
  | ({ readonly timeMs: number; readonly conveyor: string } & AlarmName & AlarmAct)
  /** A person says that a finding's suggestion is not what happened. */
  | { readonly kind: 'reject-finding'; readonly timeMs: number; readonly conveyor: string; readonly finding: string; readonly by: string }
  /** Nobody has answered a page about an alarm of this take-up or signal, or somebody now has. */
  | {
      readonly kind: 'page-unanswered';
      readonly timeMs: number;
      readonly conveyor: string;
      readonly takeup?: string;
      readonly signal?: string;
      readonly up: boolean;
      readonly openS: number;
      readonly allowedS: number;
    }
  | { readonly kind: 'tick'; readonly timeMs: number }
  /** Nobody listened up to now, as when the agent was not running: the silence until here was no signal's. */
  | { readonly kind: 'interruption'; readonly timeMs: number };

export interface PipelineSaved {
  readonly version: 1;
  readonly nowMs: number | null;
  readonly ways: Readonly<Record<string, ConveyorWaySaved>>;
}

/** What a pipeline takes up: what it saved, or the state of one conveyor after the other as it asks for them, since hundreds take much room. */
export type PipelineBefore = Pick<PipelineSaved, 'nowMs'> & {
  readonly ways: PipelineSaved['ways'] | ((conveyor: string) => ConveyorWaySaved | undefined);
};

/** The pure pipeline of a whole site. It knows no clock: time passes as its inputs say. */
export class Pipeline {
  readonly ways: readonly ConveyorWay[];
  /** Names of the site's signals; a reading names its signal by its place here. */
  readonly signals: readonly string[];

  private readonly places: readonly Place[];
  private readonly block: Block;
  private readonly passage: Passage = {
    dueAnew: () => {
      this.nextDueMs = Infinity;
      for (const way of this.ways) this.nextDueMs = Math.min(this.nextDueMs, way.dueMs);
      return this.nextDueMs;
    },
    passTo: (timeMs, out) => {
      this.passTo(timeMs, out);
      return this.nextDueMs;
    },
    lookAhead: (way) => {
      this.lookAhead(way);
      return this.nextDueMs;
    },
  };
  private nowMs: number;
  /** Nothing falls due before this without a reading. */
  private nextDueMs = -Infinity;
  private started: boolean;

  constructor(
    readonly site: Site,
    settings: WaySettings = DEFAULT_SETTINGS,
    saved?: PipelineBefore,
    shelfOf?: ShelfOf,
  ) {
    const before = saved?.ways ?? {};
    this.ways = site.conveyors.map((conveyor) => {
      const own = typeof before === 'function' ? before(conveyor.id) : before[conveyor.id];
      return new ConveyorWay(conveyor, new LocalDays(site.timezone), settings, own, shelfOf);
    });
    this.places = this.ways.flatMap((way) => way.samplers.map((sampler, index) => ({ way, index, sampler, lane: way.lanes[index] })));
    this.signals = this.places.map(({ sampler }) => sampler.signal.name);
    this.block = new Block(this.places);
    this.nowMs = saved?.nowMs ?? -Infinity;
    this.started = this.nowMs !== -Infinity;
  }

  /** The data's own time: the latest that any input has said. −Infinity before the first. */
  get timeMs(): number {
    return this.nowMs;
  }

  /** Takes one input and gives what follows from it, in order. */
  advance(input: Input): Output[] {
    const out: Output[] = [];
    switch (input.kind) {
      case 'reading':
        this.read(input.signal, input.timeMs, input.raw, out);
        break;
      case 'tick':
        this.passTo(input.timeMs, out);
        break;
      case 'reject-finding':
        this.passTo(input.timeMs, out);
        for (const way of this.ways) if (way.conveyor.id === input.conveyor) way.account.steps.reject(input.finding, input.by, out);
        break;
      case 'page-unanswered':
        this.passTo(input.timeMs, out);
        for (const way of this.ways) if (way.conveyor.id === input.conveyor) tellUnanswered(way, input, out);
        break;
      case 'interruption':
        this.listenAgain(input.timeMs, out);
        break;
      case 'service':
        // An entry from before the first reading is known from the start, and starts no clock.
        if (this.started) this.passTo(input.timeMs, out);
        for (const way of this.ways) {
          // A correction need not say whose entry it corrects: each account knows its own.
          if (input.entry.kind === 'correction' || way.conveyor.id === input.entry.conveyor) {
            way.enter(input.entry, Math.max(input.timeMs, this.nowMs), out);
            this.lookAhead(way);
          }
        }
        break;
      case 'acknowledge':
      case 'shelve':
      case 'unshelve':
      case 'out-of-service':
      case 'in-service':
        this.passTo(input.timeMs, out);
        for (const way of this.ways) {
          if (way.conveyor.id !== input.conveyor) continue;
          way.alarms.act(input, input, input.timeMs, out);
          this.lookAhead(way);
        }
        break;
    }
    return out;
  }

  /** The hot half of `advance`: one reading, its outputs written to `out`. @param signal - its place in `signals` */
  read(signal: number, timeMs: number, raw: number, out: Output[]): void {
    const { way, index } = this.places[signal] as Place;
    if (timeMs > this.nowMs) {
      if (!this.started) this.start(timeMs);
      if (timeMs >= this.nextDueMs) this.passTo(timeMs, out);
      this.nowMs = timeMs;
    }
    way.read(index, timeMs, raw, out);
    if (way.dueMoved) this.lookAhead(way);
  }

  /**
   * As `read`, for rows of typed columns, up to `to` or to the first row that was refused.
   * @param look - hears of each row after it was read
   * @returns the row after the last one taken
   */
  readRows(rows: SignalRows, from: number, to: number, out: Output[], look?: LookOn): number {
    let row = from;
    while (row < to) {
      const end = this.readBlock(rows, row, to, out, look);
      if (end > row) {
        row = end;
        continue;
      }
      const before = out.length;
      const [signal, timeMs] = [rows.signal[row] as number, rows.timeMs[row] as number];
      this.read(signal, timeMs, rows.value[row] as number, out);
      if (look !== undefined) {
        const { sampler } = this.places[signal] as Place;
        look(signal, timeMs, sampler.lastGoodMs === timeMs ? sampler.value : NaN);
      }
      row++;
      if (out.length > before) return row;
    }
    return row;
  }

  /** Takes the rows from `from` on in which nothing happens but readings. @returns the row after the last of them */
  private readBlock(rows: SignalRows, from: number, to: number, out: Output[], look: LookOn | undefined): number {
    if (!this.started) return from;
    const { block, passage, nowMs } = this;
    const end = block.take(rows, from, to, { nowMs, dueMs: this.nextDueMs }, passage);
    if (end === from) return from;
    block.give(rows, from, end, { nowMs, dueMs: this.nextDueMs }, passage, out, look);
    this.nowMs = rows.timeMs[end - 1] as number;
    return end;
  }

  private listenAgain(timeMs: number, out: Output[]): void {
    if (!this.started) return;
    for (const way of this.ways) {
      way.interrupt(timeMs, out);
      this.lookAhead(way);
    }
    this.nextDueMs = -Infinity;
    this.passTo(timeMs, out);
  }

  private lookAhead(way: ConveyorWay): void {
    way.dueMoved = false;
    this.nextDueMs = Math.min(this.nextDueMs, way.dueMs);
  }

  private start(timeMs: number): void {
    this.started = true;
    for (const way of this.ways) way.expectFrom(timeMs);
  }

  private passTo(timeMs: number, out: Output[]): void {
    if (!this.started) this.start(timeMs);
    if (timeMs > this.nowMs) this.nowMs = timeMs;
    if (timeMs < this.nextDueMs) return;
    this.nextDueMs = Infinity;
    for (const way of this.ways) {
      way.passTo(timeMs, out);
      this.nextDueMs = Math.min(this.nextDueMs, way.dueMs);
    }
  }

  /** The recording has ended: what waits for neighbours is judged and the last day given out. */
  finish(): Output[] {
    const out: Output[] = [];
    for (const way of this.ways) way.finish(out);
    return out;
  }

  save(): PipelineSaved {
    return {
      version: 1,
      nowMs: this.started ? this.nowMs : null,
      ways: Object.fromEntries(this.ways.map((way) => [way.conveyor.id, way.save()])),
    };
  }
}

function tellUnanswered({ conveyor, alarms }: ConveyorWay, input: Extract<Input, { kind: 'page-unanswered' }>, out: Output[]): void {
  const signal = conveyorSignals(conveyor).find(({ name }) => name === input.signal);
  const { takeup, up, timeMs, openS, allowedS } = input;
  alarms.tell({ key: 'page-unanswered', takeup, ...(signal && { signal }), up, timeMs, value: openS, limit: allowedS }, out);
}
