import type { SignalNow } from '../../../agent/contract/messages.js';
import type { SiteFault } from '../../../agent/site/site-fault.js';
import type { SiteVersionHead } from '../../../agent/store/history.js';

/** `GET /api/signals`. */
export interface SignalsAnswer {
  readonly signals: readonly SignalNow[];
}

/** `GET /api/site/text` and `…/versions/:nr`. */
export interface SiteTextAnswer {
  readonly text: string;
}

/** `POST /api/site/check`. */
export interface SiteCheckAnswer {
  readonly faults: readonly SiteFault[];
  readonly warnings: readonly SiteFault[];
}

/** `POST /api/site`: it is kept; whether it is in force already, and what is left to do where it is not. */
export interface SiteChangedAnswer {
  readonly applied: boolean;
  readonly words: string;
}

/** One of `GET /api/site/versions`, latest first. */
export type SiteVersionAnswer = SiteVersionHead;

/** `GET /api/rota`: who is called when, by name and without addresses. */
export interface RotaAnswer {
  /** In the order of their weeks. */
  readonly people: readonly string[];
  readonly onCall?: string;
  readonly next?: string;
  /** Day and time of the weekly hand-over, in words. */
  readonly handOver: string;
  /** For each priority that is paged, who and after how many minutes. */
  readonly ladders: readonly { readonly priority: string; readonly steps: readonly { readonly afterMin: number; readonly to: string }[] }[];
}
