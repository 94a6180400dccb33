import type { Signal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { themeChoice, unitChoice } from '../state/preferences.js';
import { me, signOut, site } from '../state/session.js';
import { useDoing } from '../state/use-doing.js';

const UNIT_WORDS = { site: "The site's", metric: 'mm, N, °C', imperial: 'in, lbf, °F' } as const;
const THEME_WORDS = { system: "This device's", light: 'Light', dark: 'Dark' } as const;

/** What a person sets for this device, and the way out. */
export function Menu() {
  const menu = useRef<HTMLDetailsElement>(null);
  const { busy, problem, run } = useDoing();
  useEffect(() => {
    const close = (event: Event): void => {
      const inside = event.target instanceof Node && menu.current?.contains(event.target);
      const escaped = event instanceof KeyboardEvent && event.key === 'Escape';
      if (menu.current?.open && (escaped || (event.type === 'click' && !inside))) menu.current.open = false;
    };
    document.addEventListener('click', close);
    document.addEventListener('keydown', close);
    return () => {
      document.removeEventListener('click', close);
      document.removeEventListener('keydown', close);
    };
  }, []);
  return (
    <details class="menu" ref={menu}>
      <summary>{me.value?.name}</summary>
      <div class="menu-sheet">
        <Choice legend="Units" name="units" words={UNIT_WORDS} choice={unitChoice} />
        <Choice legend="Colours" name="theme" words={THEME_WORDS} choice={themeChoice} />
        <p class="zone-name">All times are of {site.value?.timezone}, the site’s clock.</p>
        <a href="#/wall">For a wall, without controls (Esc leaves)</a>
        <a href="#/people">Password and people</a>
        <button type="button" aria-disabled={busy} onClick={() => void run(signOut)}>
          Sign out
        </button>
        <p class="problem" role="alert">
          {problem === '' ? '' : `You are still signed in. ${problem}`}
        </p>
      </div>
    </details>
  );
}

interface ChoiceProps<T extends string> {
  readonly legend: string;
  readonly name: string;
  readonly words: Readonly<Record<T, string>>;
  readonly choice: Signal<T>;
}

function Choice<T extends string>({ legend, name, words, choice }: ChoiceProps<T>) {
  return (
    <fieldset class="choice">
      <legend>{legend}</legend>
      {(Object.keys(words) as T[]).map((value) => (
        <label key={value}>
          <input type="radio" name={name} checked={choice.value === value} onChange={() => (choice.value = value)} />
          {words[value]}
        </label>
      ))}
    </fieldset>
  );
}
