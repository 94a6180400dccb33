/** What is typed in a form, by the names of its fields; none of our forms sends files. */
export function fieldsOf(form: EventTarget | null): Readonly<Partial<Record<string, string>>> {
  if (!(form instanceof HTMLFormElement)) return {};
  return Object.fromEntries([...new FormData(form)].flatMap(([name, value]) => (typeof value === 'string' ? [[name, value]] : [])));
}
