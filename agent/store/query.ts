import type { Database, Statement } from 'better-sqlite3';

/** A condition of a filter: the SQL where it narrows, and the value for its one parameter. */
export interface Condition {
  readonly sql: string;
  readonly name: string;
  readonly value: string | number;
}

/** A condition, or none where the filter leaves the value out. */
export function where(sql: string, name: string, value: string | number | undefined): readonly Condition[] {
  return value === undefined ? [] : [{ sql, name, value }];
}

/** That a column holds one of some words. They go in as one JSON list, so that the statement is the same for any number of them. */
export function oneOf(column: string, name: string, words: readonly string[] | undefined): readonly Condition[] {
  return where(`${column} IN (SELECT value FROM json_each(@${name}))`, name, words && JSON.stringify(words));
}

/** ` WHERE … AND …`, or nothing. */
export function whereClause(conditions: readonly Condition[]): string {
  return conditions.length === 0 ? '' : ` WHERE ${conditions.map(({ sql }) => sql).join(' AND ')}`;
}

/** The values of the conditions, by name. */
export function valuesOf(conditions: readonly Condition[]): Readonly<Record<string, string | number>> {
  return Object.fromEntries(conditions.map(({ name, value }) => [name, value]));
}

/** Keeps statements by their text: a filter has few shapes, and each is prepared once. */
export class StatementCache {
  private readonly statements = new Map<string, Statement<[object]>>();

  constructor(private readonly db: Database) {}

  of<Row>(sql: string): Statement<[object], Row> {
    let statement = this.statements.get(sql);
    if (!statement) {
      statement = this.db.prepare<[object]>(sql);
      this.statements.set(sql, statement);
    }
    return statement as Statement<[object], Row>;
  }
}
