import { checkConveyors } from './check-conveyor.js';
import { checkIds, checkTimeZone } from './check-ids.js';
import { checkPaging } from './check-paging.js';
import { checkSignals } from './check-signals.js';
import { checkTakeups } from './check-takeups.js';
import type { SiteFile } from './schema.js';
import type { Complaint, FaultRule, WarningRule } from './site-fault.js';
import type { Sound } from './sound.js';

/** A check of values against one another; it gets what is sound of the file and passes over what is not. */
export type CrossCheck = (site: Sound<SiteFile>) => Iterable<Complaint<FaultRule | WarningRule>>;

/** Every cross-check. The order does not matter: faults are told in the order of the file. */
export const CROSS_CHECKS: readonly CrossCheck[] = [checkTimeZone, checkIds, checkConveyors, checkSignals, checkTakeups, checkPaging];
