import type { Conveyor } from '../../site/site.js';
import { jumpFinding, stepFinding, wholePitches } from '../finding/step-finding.js';
import type { History } from '../ledger/history.js';
import type { Ledger } from '../ledger/ledger.js';
import type { Step, WindowRecord } from '../ledger/window-record.js';
import { carriagePerChainMm } from '../takeup/travel.js';
import type { FindingOutput, Output } from '../output.js';

/** As for a step: an entry within a day either side says what was done (contracts §2). */
const EXPLAINS_WITHIN_MS = 24 * 3600_000;

/** A window of another take-up says something of this one's time for so long. */
const REVIEWED_MS = 2 * 3600_000;

/** A jump is told when it has lasted so long: the settled window after it may have begun before it was told. */
const JUMP_LASTS_MS = 60_000;

export interface StepDeskSaved {
  readonly jumps: readonly (Jump | null)[];
  readonly known: Readonly<Record<string, KnownStep>>;
  readonly nuts: readonly FindingOutput[];
}

interface KnownStep {
  readonly knownMs: number;
  /** Who rejected what the finding suggests. */
  readonly by: string | null;
  /** Pitches by which it was last told; early versions did not keep them. */
  readonly pitches?: number;
}

interface Jump {
  readonly id: string;
  readonly atMs: number;
  readonly inwards: boolean;
}

/** What is told of the steps of a conveyor's carriages: as findings that entries explain and people reject. */
export class StepDesk {
  /** The last sudden move of each take-up. */
  private readonly jumps: (Jump | null)[];
  private readonly known: Record<string, KnownStep>;
  /** Turned nuts that nobody wrote down yet. */
  private nuts: readonly FindingOutput[];
  /** Counts up whenever what is saved may have become another without the account's doing. */
  changes = 0;

  constructor(
    private readonly conveyor: Conveyor,
    private readonly ledger: Ledger,
    private readonly histories: readonly History[],
    saved?: StepDeskSaved,
  ) {
    this.jumps = conveyor.takeups.map((_, index) => saved?.jumps[index] ?? null);
    this.known = { ...saved?.known };
    this.nuts = saved?.nuts ?? [];
  }

  /** A sudden move while running: told as a finding at once. */
  jumped(index: number, atMs: number, moveMm: number, out: Output[]): void {
    this.changes++;
    const id = `${this.nameOf(index)}-jump-${String(Math.round(atMs))}`;
    const fromMs = this.histories[index]?.last?.toMs ?? atMs;
    this.jumps[index] = { id, atMs, inwards: moveMm < 0 };
    out.push(jumpFinding(this.conveyor, index, id, moveMm, fromMs, atMs));
  }

  /** Takes a lasting step into the ledger and tells it. */
  take(index: number, seen: Omit<Step, 'id' | 'takeup'>, knownMs: number, out: Output[]): void {
    const jump = this.asJump({ ...seen, id: `${this.nameOf(index)}-${String(seen.toMs)}`, takeup: index });
    const fits = this.pitchesOf(jump);
    // Where nobody tells whether the conveyor runs, chain is not taken out while it does: whole repeats mean that it stood.
    const step = this.conveyor.running === undefined && fits !== 0 ? { ...jump, whileRunning: false } : jump;
    this.ledger.addStep(step);
    this.known[step.id] = { knownMs, by: null };
    this.tell(step, out);
  }

  /** The step that a sudden move left behind is the same finding, better measured. */
  private asJump(step: Step): Step {
    const jump = this.jumps[step.takeup];
    const same =
      jump !== null &&
      jump !== undefined &&
      jump.atMs >= step.fromMs &&
      jump.atMs - JUMP_LASTS_MS <= step.toMs &&
      jump.inwards === step.moveMm < 0;
    return same ? { ...step, id: jump.id, whileRunning: true } : step;
  }

  /** A nut was turned: open where it suggests an entry. */
  takeNut(finding: FindingOutput, out: Output[]): void {
    if (finding.suggestion !== undefined) this.nuts = [...this.nuts, finding];
    out.push(finding);
  }

  /** Whether an entry of the account says what a turned nut's finding saw. */
  private writtenDown({ fromMs, toMs, takeup, suggestion }: FindingOutput): boolean {
    return this.ledger.account.some(
      ({ entry }) =>
        (entry.kind === 'nut-turned' || entry.kind === 'spring-replaced') &&
        entry.takeup === takeup &&
        entry.side === suggestion?.['side'] &&
        entry.timeMs >= fromMs - EXPLAINS_WITHIN_MS &&
        entry.timeMs <= toMs + EXPLAINS_WITHIN_MS,
    );
  }

  /** What a step says as the account stands now. */
  private tell(step: Step, out: Output[]): void {
    const known = this.known[step.id];
    if (known === undefined) return;
    const explained = this.ledger.explanationOf(step);
    const chainWork = explained.some(({ kind }) => kind.startsWith('chain-'));
    const fits = this.pitchesOf(step);
    this.known[step.id] = { ...known, pitches: fits };
    const finding = stepFinding(this.conveyor, step, step.whileRunning && !chainWork ? 0 : fits, explained, known.knownMs);
    if (explained.length > 0) out.push({ ...finding, state: 'explained' });
    else if (known.by !== null) out.push({ ...finding, state: 'rejected', by: known.by });
    else out.push(finding);
  }

  /** Does something to the account, and tells the steps anew that it explains, or no longer does. */
  retelling(work: () => void, out: Output[]): void {
    const before = this.explanations();
    work();
    const after = this.explanations();
    for (const step of this.ledger.allSteps) if (before.get(step.id) !== after.get(step.id)) this.tell(step, out);
    const written = this.nuts.filter((finding) => this.writtenDown(finding));
    for (const finding of written) out.push({ ...finding, state: 'explained' });
    this.nuts = this.nuts.filter((finding) => !written.includes(finding));
  }

  private explanations(): ReadonlyMap<string, string> {
    return new Map(this.ledger.allSteps.map((step) => [step.id, JSON.stringify(this.ledger.explanationOf(step))]));
  }

  /** Whether a finding is open, so that a person may reject what it suggests. */
  mayReject(id: string): boolean {
    if (this.nuts.some((finding) => finding.id === id)) return true;
    return this.known[id]?.by === null && this.ledger.unexplained.some((step) => step.id === id);
  }

  /** A person says that a step is not what the finding suggests. It stays unexplained until an entry says what it was. */
  reject(id: string, by: string, out: Output[]): void {
    this.changes++;
    const nut = this.nuts.find((finding) => finding.id === id);
    if (nut !== undefined) {
      this.nuts = this.nuts.filter((finding) => finding !== nut);
      out.push({ ...nut, state: 'rejected', by });
      return;
    }
    const step = this.ledger.allSteps.find((candidate) => candidate.id === id);
    if (step === undefined || !this.mayReject(id)) return;
    this.known[id] = { knownMs: this.known[id]?.knownMs ?? step.toMs, by };
    this.tell(step, out);
  }

  /** Where take-ups share a chain: a window of another one came in, and the latest steps may stand for another count of pitches than told. */
  review(nowMs: number, out: Output[]): void {
    if (this.conveyor.takeups.length < 2) return;
    for (const step of this.ledger.allSteps) {
      const told = this.known[step.id]?.pitches;
      if (told !== undefined && nowMs - step.toMs < REVIEWED_MS && told !== this.pitchesOf(step)) this.tell(step, out);
    }
  }

  private pitchesOf(step: Step): number {
    return wholePitches(this.conveyor, step.takeup, this.usualMoveMm(step), this.elongationBefore(step));
  }

  /**
   * How far the carriage would have moved, had each on the chain taken its usual share of what all of them took, heat taken off: one of them may
   * have come in for all. Its own move where it is not known what the others did.
   */
  private usualMoveMm(step: Step): number {
    const { conveyor, ledger } = this;
    if (conveyor.takeups.length < 2) return step.moveMm;
    const known = (record: WindowRecord): boolean => Number.isFinite(record.othersTakenUp);
    const before = this.histories[step.takeup]?.lastUntil(step.fromMs, known);
    const after = this.histories[step.takeup]?.firstFrom(step.toMs, known);
    if (before === undefined || after === undefined) return step.moveMm;
    if (step.fromMs - before.toMs >= REVIEWED_MS || after.fromMs - step.toMs >= REVIEWED_MS) return step.moveMm;
    const shares = conveyor.takeups.map((_, index) => carriagePerChainMm(conveyor, index));
    const taken = conveyor.takeups.map(({ gain }, index) => gain * (shares[index] ?? NaN));
    const all = taken.reduce((sum, own) => sum + own, 0);
    const own = taken[step.takeup] ?? NaN;
    const heatMm = ledger.figures(step.takeup, after).thermalMm - ledger.figures(step.takeup, before).thermalMm;
    const othersMm = after.othersTakenUp - before.othersTakenUp - (all - own) * (Number.isFinite(heatMm) ? heatMm : 0);
    if (!Number.isFinite(othersMm)) return step.moveMm;
    const gain = conveyor.takeups[step.takeup]?.gain ?? NaN;
    return ((gain * step.moveMm + othersMm) * (shares[step.takeup] ?? NaN)) / all;
  }

  private elongationBefore(step: Step): number {
    const before = this.histories[step.takeup]?.lastUntil(step.fromMs);
    const elongation = before ? this.ledger.figures(step.takeup, before).elongation : NaN;
    return Number.isFinite(elongation) ? elongation : this.conveyor.chain.wearAtReferencePct / 100;
  }

  private nameOf(index: number): string {
    return `${this.conveyor.id}-${this.conveyor.takeups[index]?.id ?? ''}`;
  }

  save(): StepDeskSaved {
    return { jumps: this.jumps, known: this.known, nuts: this.nuts };
  }
}
