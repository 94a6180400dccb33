import { openDuckDb, sqlText } from '../../agent/recording/duckdb-session.js';

/** Writes a Parquet file of what an SQL query gives. */
export async function writeParquet(path: string, query: string): Promise<void> {
  const duckDb = await openDuckDb();
  try {
    await duckDb.connection.run(`COPY (${query}) TO ${sqlText(path)} (FORMAT parquet)`);
  } finally {
    duckDb.close();
  }
}
