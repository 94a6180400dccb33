import type { AlarmKey } from '../../../agent/flow/alarm-key.js';
import { AlarmRecord } from '../../../agent/flow/alarm/alarm-record.js';
import { termsOf } from '../../../agent/flow/alarm/alarm-terms.js';
import { definitionOf } from '../../../agent/flow/alarm/definitions.js';
import { Watch, type Suppressor, type WatchSaved } from '../../../agent/flow/alarm/watch.js';
import type { AlarmOutput, Output } from '../../../agent/flow/output.js';
import { testSite } from '../way/test-site.js';

const CHAIN = { min_tension_n: 250, max_tension_n: 4000 };

/** A row of the alarm list on the take-up of the tests, on a clock of the test's own. */
export class Watched {
  readonly record: AlarmRecord;
  readonly watch: Watch;
  readonly out: Output[] = [];
  timeMs = 0;
  runningMs = 0;

  constructor(key: AlarmKey, limits: Readonly<Record<string, number>> = {}, suppressors: readonly Suppressor[] = [], saved?: WatchSaved) {
    const site = testSite({ chain: CHAIN, takeup: { limits: { [key]: limits } } });
    const conveyor = site.conveyors[0]!;
    const takeup = conveyor.takeups[0]!;
    const definition = definitionOf(key);
    const context = { takeup, chain: conveyor.chain, spring: takeup.spring };
    this.record = new AlarmRecord({ conveyor: 'line', takeup: 'tu1' }, key, termsOf(key, takeup, undefined));
    this.watch = new Watch(definition, this.record, [context, context], suppressors, saved);
  }

  /** Lets so many seconds pass, running or not. */
  pass(seconds: number, running = true): this {
    this.timeMs += seconds * 1000;
    if (running) this.runningMs += seconds * 1000;
    return this;
  }

  /** Judges a value now. @param running - 1 running, 0 standing, NaN unknown */
  judge(value: number, running = 1, side = 0): this {
    this.watch.judge(side, value, { timeMs: this.timeMs, runningMs: this.runningMs, running }, this.out);
    return this;
  }

  get up(): boolean {
    return this.record.up;
  }

  /** What it said since it was last asked. */
  said(): AlarmOutput[] {
    return this.out.splice(0).filter((output) => output.kind === 'alarm');
  }
}
