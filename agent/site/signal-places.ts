import type { SideFile, SignalFile, SiteFile } from './schema.js';
import type { SignalQuantity } from './site.js';
import type { SitePath } from './site-fault.js';
import type { Sound } from './sound.js';

/** The default topic of a signal: readings come in under the site, by the signal's name. */
export function defaultTopic(siteId: string, name: string): string {
  return `takeline/${siteId}/in/${name}`;
}

/** A signal of the file, where it stands in it, and its name where every id on the way to it is known. */
export interface SignalPlace {
  readonly path: SitePath;
  readonly quantity: SignalQuantity;
  readonly name: string | undefined;
  readonly signal: Sound<SignalFile>;
}

/** The items of a list that are sound, each with its path. */
export function* each<T>(list: readonly (T | undefined)[] | undefined, path: SitePath): Generator<readonly [T, SitePath]> {
  for (const [index, item] of (list ?? []).entries()) if (item !== undefined) yield [item, [...path, index]];
}

/** Every signal that the file asks for, whether it writes it out or leaves it to the defaults. */
export function* signalPlaces(site: Sound<SiteFile>): Generator<SignalPlace> {
  for (const [conveyor, path] of each(site.conveyors, ['conveyors'])) {
    for (const quantity of ['running', 'speed'] as const) {
      yield* place(conveyor.signals, quantity, quantity, [conveyor.id, quantity], [...path, 'signals']);
    }
    for (const [zone, zonePath] of each(conveyor.zones, [...path, 'zones'])) {
      yield* place({ temperature: {}, ...zone }, 'temperature', 'temperature', [conveyor.id, zone.id, 'temperature'], zonePath);
    }
    const { ambient } = conveyor;
    if (ambient)
      yield* place(
        { temperature: {}, ...ambient },
        'temperature',
        'temperature',
        [conveyor.id, 'ambient', 'temperature'],
        [...path, 'ambient'],
      );
    for (const [takeup, takeupPath] of each(conveyor.takeups, [...path, 'takeups'])) {
      for (const name of ['left', 'right'] as const) {
        const side: Sound<SideFile> | undefined = takeup.sides?.[name];
        if (side === undefined) continue;
        const steps = [conveyor.id, takeup.id, name];
        const sidePath = [...takeupPath, 'sides', name];
        yield* place({ position: {}, ...side }, 'position', 'position', [...steps, 'position'], sidePath);
        yield* place(side, 'spring', 'spring', [...steps, 'spring'], sidePath);
      }
    }
  }
}

function* place<Key extends string>(
  holder: { readonly [K in Key]?: Sound<SignalFile> | undefined } | undefined,
  key: Key,
  quantity: SignalQuantity,
  steps: readonly (string | undefined)[],
  path: SitePath,
): Generator<SignalPlace> {
  const signal = holder?.[key];
  if (signal === undefined) return;
  yield { path: [...path, key], quantity, name: steps.includes(undefined) ? undefined : steps.join('/'), signal };
}
