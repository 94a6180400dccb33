import type { Conveyor } from '../../site/site.js';
import type { ServiceEntry, WorkEntry } from '../../contract/service-entry.js';
import { effectiveEntries } from '../service/corrections.js';
import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';
import { Account } from './account.js';
import { chainEras, type ChainEra } from './chain-eras.js';
import { contradictedSteps, explainSteps, unexplainedSteps, type NamedEntry } from './explain.js';
import { tensionOfSprings, type Figures } from './figures.js';
import { resolveAnchor } from './anchor.js';
import { refusalOf } from './impossible.js';
import { needsAnchor, type Anchor, type PlacedEntry } from './placed-entry.js';
import { sideEras, type SideEra } from './side-eras.js';
import type { RecentWindows, Step, WindowRecord } from './window-record.js';

export interface LedgerSaved {
  readonly entries: readonly ServiceEntry[];
  readonly captured: Readonly<Record<string, SavedNumber>>;
  readonly anchors: Readonly<Record<string, Readonly<Record<keyof Anchor, SavedNumber>>>>;
  readonly steps: readonly Step[];
}

/**
 * The account of one chain: append-only entries, and every figure recomputed from them. An entry may come late or correct another;
 * what follows from it is worked out anew.
 */
export class Ledger {
  readonly referenceTensionN: number;
  private readonly entries: ServiceEntry[];
  private readonly captured: Map<string, number>;
  private readonly anchors: Map<string, Anchor>;
  private readonly steps: Step[];
  private standing: Account;
  private open: Step[] = [];
  private stepOf: ReadonlyMap<string, Step> = new Map();
  private placed: PlacedEntry[] = [];

  constructor(
    readonly conveyor: Conveyor,
    private readonly recent: RecentWindows,
    saved?: LedgerSaved,
  ) {
    const tensions = conveyor.takeups.map((takeup) => {
      const [left, right] = [sideEras(takeup, 'left', [])[0] as SideEra, sideEras(takeup, 'right', [])[0] as SideEra];
      return tensionOfSprings(takeup, left, right, left.set.springMm, right.set.springMm).tensionN;
    });
    this.referenceTensionN = tensions.reduce((sum, tension) => sum + tension, 0) / tensions.length;
    this.entries = [...(saved?.entries ?? [])];
    this.captured = new Map(Object.entries(saved?.captured ?? {}).map(([id, value]) => [id, fromSaved(value)]));
    this.anchors = new Map(Object.entries(saved?.anchors ?? {}).map(([id, anchor]) => [id, loadAnchor(anchor)]));
    this.steps = [...(saved?.steps ?? [])];
    this.standing = new Account(conveyor, this.referenceTensionN, [], []);
    this.rebuild();
  }

  /** Takes an entry. @param sideMm - the position of the entry's side as it stands when the entry becomes known; NaN where none */
  add(entry: ServiceEntry, sideMm: number): void {
    const id = entry.id ?? this.freeId();
    this.entries.push({ ...entry, id });
    this.captured.set(id, sideMm);
    this.rebuild();
  }

  /** A name for an entry that has none, and that no other has taken. */
  private freeId(): string {
    let count = this.entries.length + 1;
    while (this.captured.has(`entry-${count}`)) count++;
    return `entry-${count}`;
  }

  /** The entries as they were taken, corrections among them. */
  get taken(): readonly ServiceEntry[] {
    return this.entries;
  }

  /** Why an entry cannot be true beside those there are; undefined where it can. */
  refuse(entry: ServiceEntry): string | undefined {
    return refusalOf(this.conveyor, this.entries, entry);
  }

  /** Takes a lasting step of a carriage. */
  addStep(step: Step): void {
    this.steps.push(step);
    this.rebuild();
  }

  /** A settled window came in: an entry that waited for it may find its anchor. @returns whether it did */
  settled(): boolean {
    const waiting = this.placed.some(({ anchor, entry }) => anchor === undefined && needsAnchor(entry));
    if (waiting) this.rebuild();
    return waiting;
  }

  /** Works out everything anew from the entries, the steps and the recent windows. */
  private rebuild(): void {
    const named: NamedEntry[] = effectiveEntries(this.entries)
      .filter((entry) => entry.conveyor === this.conveyor.id)
      .map((entry) => ({ id: entry.id ?? '', entry }));
    const elongation = this.standing.empty ? this.conveyor.chain.wearAtReferencePct / 100 : this.lastElongation();
    this.stepOf = explainSteps(this.conveyor, this.steps, named, elongation);
    this.open = unexplainedSteps(this.steps, named, this.stepOf);
    this.placed = named.map(({ id, entry }) => this.place(id, entry)).sort((a, b) => a.atMs - b.atMs);
    // Where entries and carriage contradict one another ε is provisional, too, until one is corrected: neither is taken for true.
    const contradicted = contradictedSteps(this.conveyor, this.steps, named, this.stepOf, elongation);
    const chain = chainEras(this.conveyor, this.referenceTensionN, this.placed, [...this.open, ...contradicted]);
    const sides = this.conveyor.takeups.map(
      (takeup) => [sideEras(takeup, 'left', this.placed), sideEras(takeup, 'right', this.placed)] as const,
    );
    this.standing = new Account(this.conveyor, this.referenceTensionN, chain, sides);
  }

  private place(id: string, entry: WorkEntry): PlacedEntry {
    const step = this.stepOf.get(id);
    const within = step === undefined || (entry.timeMs >= step.fromMs && entry.timeMs <= step.toMs);
    const atMs = within ? entry.timeMs : step.toMs;
    const anchor = this.anchorOf(id, entry, atMs, step);
    return { id, entry, atMs, anchor };
  }

  /** What was measured once stays, unless the entry has moved: the windows it was measured by are drawn together in time. */
  private anchorOf(id: string, entry: WorkEntry, atMs: number, step: Step | undefined): Anchor | undefined {
    const known = this.anchors.get(id);
    if (known?.atMs === atMs) return known;
    const captured = this.captured.get(id) ?? NaN;
    const anchor = resolveAnchor(this.conveyor, this.recent, entry, atMs, step, captured, this.tensionOf) ?? known;
    if (anchor !== undefined) this.anchors.set(id, anchor);
    return anchor;
  }

  /** By the chain and nuts as they are in the end. */
  private readonly tensionOf = (takeupIndex: number, window: WindowRecord): number => this.standing.latestTensionN(takeupIndex, window);

  private lastElongation(): number {
    for (let index = 0; index < this.conveyor.takeups.length; index++) {
      const window = this.recent(index)?.last;
      const elongation = window ? this.figures(index, window).elongation : NaN;
      if (Number.isFinite(elongation) && Math.abs(elongation) < 0.05) return elongation;
    }
    return this.conveyor.chain.wearAtReferencePct / 100;
  }

  /** The account as it stands now; another one whenever it has been worked out anew. */
  get now(): Account {
    return this.standing;
  }

  /** The figures of a settled window, by the account as it stands now. */
  figures(takeupIndex: number, window: WindowRecord): Figures {
    return this.standing.figures(takeupIndex, window);
  }

  eraAt(timeMs: number): ChainEra {
    return this.standing.eraAt(timeMs);
  }

  sidesAt(takeupIndex: number, timeMs: number): readonly [SideEra, SideEra] {
    return this.standing.sidesAt(takeupIndex, timeMs);
  }

  /** Every lasting step, explained or not. */
  get allSteps(): readonly Step[] {
    return this.steps;
  }

  /** Steps that no entry explains. */
  get unexplained(): readonly Step[] {
    return this.open;
  }

  /** The entries that explain a step. */
  explanationOf(step: Step): readonly WorkEntry[] {
    return this.placed.filter(({ id }) => this.stepOf.get(id)?.id === step.id).map(({ entry }) => entry);
  }

  /** The effective entries in order of their effect. */
  get account(): readonly PlacedEntry[] {
    return this.placed;
  }

  save(): LedgerSaved {
    return {
      entries: this.entries,
      captured: Object.fromEntries([...this.captured].map(([id, value]) => [id, toSaved(value)])),
      anchors: Object.fromEntries([...this.anchors].map(([id, anchor]) => [id, saveAnchor(anchor)])),
      steps: this.steps,
    };
  }
}

const ANCHOR_FIELDS = ['atMs', 'sideMm', 'takenUpMm', 'zoneHeat', 'ambientHeat', 'tensionN'] as const satisfies readonly (keyof Anchor)[];

function saveAnchor(anchor: Anchor): Record<keyof Anchor, SavedNumber> {
  return Object.fromEntries(ANCHOR_FIELDS.map((field) => [field, toSaved(anchor[field])])) as Record<keyof Anchor, SavedNumber>;
}

function loadAnchor(saved: Readonly<Record<keyof Anchor, SavedNumber>>): Anchor {
  return Object.fromEntries(ANCHOR_FIELDS.map((field) => [field, fromSaved(saved[field])])) as unknown as Anchor;
}
