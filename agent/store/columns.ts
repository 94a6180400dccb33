/** Which column of a table holds which field of an object. */
export type ColumnMap<Field extends string> = Readonly<Record<Field, string>>;

/** `position_mm AS positionMm, …`: rows come out under the names of the fields. */
export function selectList(columns: ColumnMap<string>): string {
  return Object.entries(columns)
    .map(([field, column]) => `${column} AS "${field}"`)
    .join(', ');
}

/** `INSERT INTO table (…) VALUES (@…)`, each column filled from the field of its name. */
export function insertInto(table: string, columns: ColumnMap<string>): string {
  const names = Object.values(columns).join(', ');
  const values = Object.keys(columns)
    .map((field) => `@${field}`)
    .join(', ');
  return `INSERT INTO ${table} (${names}) VALUES (${values})`;
}

/** `column = excluded.column, …` for all but the key: the later row takes the place of the earlier. */
export function takePlace(columns: ColumnMap<string>, key: readonly string[]): string {
  return Object.values(columns)
    .filter((column) => !key.includes(column))
    .map((column) => `${column} = excluded.${column}`)
    .join(', ');
}

/** A row of a table in which any column may be NULL. */
export type Nullable<T> = { readonly [K in keyof T]-?: Exclude<T[K], undefined> | null };

/** A row with NULL, how SQL says that a number is not known, as the NaN that it is in the program. */
export function withNaN<T extends object>(row: Nullable<T>): T {
  return Object.fromEntries(Object.entries(row).map(([field, value]) => [field, value ?? NaN])) as T;
}

/** A row without the fields that are NULL: an optional field that is absent. */
export function withoutNulls<T extends object>(row: Nullable<T>): T {
  return Object.fromEntries(Object.entries(row).filter(([, value]) => value !== null)) as T;
}
