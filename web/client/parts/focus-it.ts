/**
 * As the `ref` of what takes the place of a button that was pressed: it takes the focus as well, or whoever goes by keyboard would be left
 * with none and hear nothing.
 */
export function focusIt(element: HTMLElement | null): void {
  element?.focus();
}
