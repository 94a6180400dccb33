import type { EntryFields } from '../contract/entry-fields.js';
import type { Conveyor } from '../site/site.js';
import type { PlantTrouble } from './trouble.js';

/** Every kind of trouble, in the order in which people are shown them. */
const TROUBLE_KINDS = [
  'chain-caught',
  'chain-parted',
  'chain-slack',
  'guide-seized',
  'guide-dragging',
  'spring-relaxing',
  'spring-broken',
  'wear-fast',
  'zone-overheats',
  'sensor-flat',
  'sensor-drift',
  'sensor-spikes',
  'sensor-noisy',
  'not-a-number',
  'fault-band',
  'signal-lost',
  'clock-off',
  'gap',
] as const satisfies readonly [PlantTrouble['kind'], ...PlantTrouble['kind'][]];

/**
 * Reads a trouble as a person writes it. What is wrong is kept in `fields`.
 *
 * @param stretch - from when to when, read already
 * @param signals - names of the conveyor's signals
 */
export function readTrouble(
  fields: EntryFields,
  stretch: { readonly fromMs: number; readonly toMs: number },
  conveyor: Conveyor,
  signals: readonly string[],
): PlantTrouble {
  const kind = fields.word('kind', TROUBLE_KINDS);
  const takeup = (): string => oneOf(fields, 'takeup', 'take-up', ids(conveyor.takeups));
  const signal = (): string => oneOf(fields, 'signal', 'signal', signals);
  const side = (): 'left' | 'right' => fields.word('side', ['left', 'right']);
  const number = (key: string): number => fields.number(key);
  const positive = (key: string): number => fields.positive(key);
  switch (kind) {
    case 'chain-caught':
      return { kind, ...stretch, chainMmPerMin: positive('chain_mm_per_min'), mostChainMm: positive('most_chain_mm') };
    case 'chain-parted':
      return { kind, ...stretch, withinS: positive('within_s'), tripsAfterS: positive('trips_after_s') };
    case 'chain-slack':
      return { kind, ...stretch, chainMm: number('chain_mm'), withinS: positive('within_s') };
    case 'guide-seized':
      return { kind, ...stretch, takeup: takeup(), slipsAtMm: positive('slips_at_mm'), breathingShare: share(fields, 'breathing_share') };
    case 'guide-dragging':
      return { kind, ...stretch, takeup: takeup(), side: side(), mmPerDay: positive('mm_per_day'), mostMm: positive('most_mm') };
    case 'spring-relaxing':
      return { kind, ...stretch, takeup: takeup(), side: side(), mmPerDay: positive('mm_per_day') };
    case 'spring-broken':
      return { kind, ...stretch, takeup: takeup(), side: side(), shareLeft: share(fields, 'share_left') };
    case 'wear-fast':
      return { kind, ...stretch, times: positive('times') };
    case 'zone-overheats':
      return {
        kind,
        ...stretch,
        zone: oneOf(fields, 'zone', 'zone', ids(conveyor.zones)),
        cPerMin: positive('c_per_min'),
        mostC: positive('most_c'),
      };
    case 'sensor-flat':
    case 'signal-lost':
      return { kind, ...stretch, signal: signal() };
    case 'sensor-drift':
      return { kind, ...stretch, signal: signal(), perDay: number('per_day') };
    case 'sensor-spikes':
      return { kind, ...stretch, signal: signal(), share: share(fields, 'share'), height: number('height') };
    case 'sensor-noisy':
      return { kind, ...stretch, signal: signal(), times: positive('times') };
    case 'not-a-number':
      return { kind, ...stretch, signal: signal(), share: share(fields, 'share') };
    case 'fault-band':
      return { kind, ...stretch, signal: signal(), raw: number('raw') };
    case 'clock-off':
      return { kind, ...stretch, signal: signal(), byS: number('by_s') };
    case 'gap':
      return { kind, ...stretch };
  }
}

function ids(parts: readonly { readonly id: string }[]): readonly string[] {
  return parts.map(({ id }) => id);
}

function oneOf(fields: EntryFields, key: string, what: string, there: readonly string[]): string {
  const [first] = there;
  if (first !== undefined) return fields.word(key, [first, ...there.slice(1)]);
  fields.refuse(`${key}: the conveyor has no ${what}`);
  return '';
}

function share(fields: EntryFields, key: string): number {
  const value = fields.number(key);
  if (value < 0 || value > 1) fields.refuse(`${key} is ${String(value)}; it must be a share from 0 to 1`);
  return value;
}
