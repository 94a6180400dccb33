import type { Conveyor } from '../../site/site.js';
import type { ChainEra } from './chain-eras.js';
import { figuresOf, type Figures } from './figures.js';
import { eraAt, type SideEra } from './side-eras.js';
import type { WindowRecord } from './window-record.js';

/** The account of one chain as it stands at one moment: what every settled window says by it. It does not change; the ledger makes another. */
export class Account {
  constructor(
    readonly conveyor: Conveyor,
    private readonly referenceTensionN: number,
    private readonly chain: readonly ChainEra[],
    private readonly sides: readonly (readonly [readonly SideEra[], readonly SideEra[]])[],
  ) {}

  /** The figures of a settled window. */
  figures(takeupIndex: number, window: WindowRecord): Figures {
    return this.figuresIn(takeupIndex, window, this.eraAt(window.toMs));
  }

  /** The strand tension of a settled window, whatever chain was on; that of the reference before there is an account. */
  latestTensionN(takeupIndex: number, window: WindowRecord): number {
    const era = this.chain.at(-1);
    return era === undefined ? this.referenceTensionN : this.figuresIn(takeupIndex, window, era).strandTensionN;
  }

  private figuresIn(takeupIndex: number, window: WindowRecord, era: ChainEra): Figures {
    return figuresOf(this.conveyor, takeupIndex, window, era, this.sidesAt(takeupIndex, window.toMs), this.referenceTensionN);
  }

  /** Whether there is none yet: the ledger has not been worked out for the first time. */
  get empty(): boolean {
    return this.chain.length === 0;
  }

  eraAt(timeMs: number): ChainEra {
    return eraAt(this.chain, timeMs);
  }

  sidesAt(takeupIndex: number, timeMs: number): readonly [SideEra, SideEra] {
    const [left, right] = this.sides[takeupIndex] as readonly [SideEra[], SideEra[]];
    return [eraAt(left, timeMs), eraAt(right, timeMs)];
  }
}
