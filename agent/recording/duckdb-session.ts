import type * as DuckDb from '@duckdb/node-api';

/** An embedded DuckDB for one file, closed by whoever opened it. */
export interface DuckDbSession {
  readonly connection: DuckDb.DuckDBConnection;
  /** The package itself, which is loaded only with a session. */
  readonly duckDb: typeof DuckDb;
  close(): void;
}

/**
 * Starts DuckDB with bounds: it may neither take the machine's memory and cores nor fetch extensions from anywhere, and it
 * knows no time zone but UTC.
 *
 * @param path - the database file; in memory where left out
 */
export async function openDuckDb(path = ':memory:'): Promise<DuckDbSession> {
  // Only who reads or writes Parquet loads it: it takes as much memory as all the rest of a small agent.
  const duckDb = await import('@duckdb/node-api');
  const instance = await duckDb.DuckDBInstance.create(path, {
    // One thread: rows come in the order of the file, and the same rows make the same file.
    threads: '1',
    memory_limit: '512MB',
    autoinstall_known_extensions: 'false',
    autoload_known_extensions: 'false',
    allow_community_extensions: 'false',
    ...(path === ':memory:' ? { temp_directory: '' } : {}),
  });
  const connection = await instance.connect();
  await connection.run("SET TimeZone = 'UTC'");
  return {
    connection,
    duckDb,
    close: () => {
      connection.closeSync();
      instance.closeSync();
    },
  };
}

/** A text as an SQL literal. */
export function sqlText(text: string): string {
  return `'${text.replaceAll("'", "''")}'`;
}

/** A path that means itself alone, where DuckDB would take `*`, `?` and `[` for a pattern. */
export function sqlPath(path: string): string {
  return sqlText(path.replaceAll(/[*?[]/g, '[$&]'));
}
