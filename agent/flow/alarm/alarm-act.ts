import type { AlarmOutput } from '../output.js';
import type { AlarmRecord } from './alarm-record.js';

/** What a person does with an alarm. */
export type AlarmAct =
  | { readonly kind: 'acknowledge'; readonly by: string }
  | { readonly kind: 'shelve'; readonly by: string; readonly why: string; readonly untilMs: number }
  | { readonly kind: 'unshelve'; readonly by: string; readonly why?: string }
  | { readonly kind: 'out-of-service'; readonly by: string; readonly why: string }
  | { readonly kind: 'in-service'; readonly by: string; readonly why?: string };

/** Does it. @returns undefined where it cannot be done with the alarm as it is */
export function turnBy(record: AlarmRecord, what: AlarmAct, timeMs: number): AlarmOutput | undefined {
  switch (what.kind) {
    case 'acknowledge':
      return record.acknowledge(timeMs, what.by);
    case 'shelve':
      return record.shelve(timeMs, what.untilMs, what.by, what.why);
    case 'unshelve':
      return record.unshelve(timeMs, said(what));
    case 'out-of-service':
      return record.takeOut(timeMs, what.by, what.why);
    case 'in-service':
      return record.putBack(timeMs, said(what));
  }
}

function said({ by, why }: { readonly by: string; readonly why?: string }): { readonly by: string; readonly why?: string } {
  return { by, ...(why === undefined ? {} : { why }) };
}
