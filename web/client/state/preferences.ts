import { computed, effect, signal } from '@preact/signals';
import type { UnitSystem } from '../../../agent/units/display.js';
import { remember, remembered } from './device.js';

/** What a person chose on this device. `site` and `system` leave it to the site file and to the device. */
export type UnitChoice = 'site' | UnitSystem;
export type ThemeChoice = 'system' | 'light' | 'dark';
export type GroupChoice = 'need' | 'conveyor';

export const unitChoice = kept<UnitChoice>('units', ['site', 'metric', 'imperial']);
export const themeChoice = kept<ThemeChoice>('theme', ['system', 'light', 'dark']);
export const groupChoice = kept<GroupChoice>('group', ['need', 'conveyor']);

// Tests of what is beside it have no device.
const deviceDark = 'matchMedia' in globalThis ? matchMedia('(prefers-color-scheme: dark)') : undefined;
const deviceIsDark = signal(deviceDark?.matches ?? false);
deviceDark?.addEventListener('change', ({ matches }) => (deviceIsDark.value = matches));

/** The colours that are shown now: a device that turns dark in the evening changes them too. What draws on a canvas draws anew with them. */
export const themeShown = computed<Exclude<ThemeChoice, 'system'>>(() => {
  if (themeChoice.value !== 'system') return themeChoice.value;
  return deviceIsDark.value ? 'dark' : 'light';
});

const LEFT_OUT_KEY = 'takeline.history-without';

/** What a person does not want drawn of a take-up's history, by name; all is drawn until somebody chooses. */
export const leftOutOfHistory = signal<readonly string[]>(remembered(LEFT_OUT_KEY)?.split('|').filter(Boolean) ?? []);
effect(() => {
  remember(LEFT_OUT_KEY, leftOutOfHistory.value.join('|'));
});

/** A choice that this device remembers; the first of the values until somebody chooses. */
function kept<T extends string>(name: string, values: readonly [T, ...T[]]) {
  const key = `takeline.${name}`;
  const choice = signal<T>(values.find((value) => value === remembered(key)) ?? values[0]);
  effect(() => {
    remember(key, choice.value);
  });
  return choice;
}

/** Puts the chosen theme on the page; `system` leaves it to the style sheet. */
export function applyTheme(): void {
  effect(() => {
    const { value } = themeChoice;
    if (value === 'system') document.documentElement.removeAttribute('data-theme');
    else document.documentElement.dataset['theme'] = value;
  });
}
