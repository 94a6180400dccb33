/** How the columns of a Parquet recording are asked for, and what comes back. */
export interface ParquetColumns {
  /** `number`: epoch µs or ms as a double, NaN where there is none; `text`: as in a CSV. */
  readonly time: { readonly sql: string; readonly gives: 'microseconds' | 'milliseconds' | 'text' };
  /** A double, NaN where there is none; or text as in a CSV. */
  readonly value: { readonly sql: string; readonly gives: 'number' | 'text' };
}

const WHOLE_OR_FRACTION = /^(U?(TINY|SMALL|BIG|HUGE)INT|U?INTEGER|FLOAT|DOUBLE|DECIMAL\(.*\))$/;
const TIMESTAMP = /^TIMESTAMP(_S|_MS|_NS| WITH TIME ZONE)?$/;

/**
 * Decides how to read the columns of a recording by their types.
 *
 * @param types - DuckDB's type of each column of the file
 * @returns the columns, or in words what is wrong with them
 */
export function chooseColumns(types: ReadonlyMap<string, string>): ParquetColumns | string {
  const missing = ['time', 'signal', 'value'].filter((name) => !types.has(name));
  if (missing.length > 0) return `there is no column ${missing.join(', ')} in it`;
  const time = timeColumn(types.get('time') ?? '');
  if (time === undefined)
    return `its column time is ${types.get('time')}, and must be a timestamp, epoch milliseconds or ISO 8601 with offset`;
  const value = valueColumn(types.get('value') ?? '');
  if (value === undefined) return `its column value is ${types.get('value')}, and must be a number, true/false or text`;
  return { time, value };
}

function timeColumn(type: string): ParquetColumns['time'] | undefined {
  // A timestamp without a zone is taken as UTC: that is how most tools write one.
  if (TIMESTAMP.test(type)) return { sql: orNan('CAST(epoch_us("time") AS DOUBLE)'), gives: 'microseconds' };
  if (WHOLE_OR_FRACTION.test(type)) return { sql: orNan('TRY_CAST("time" AS DOUBLE)'), gives: 'milliseconds' };
  if (type === 'VARCHAR') return { sql: `coalesce("time", '')`, gives: 'text' };
  return undefined;
}

function valueColumn(type: string): ParquetColumns['value'] | undefined {
  if (WHOLE_OR_FRACTION.test(type)) return { sql: orNan('TRY_CAST("value" AS DOUBLE)'), gives: 'number' };
  if (type === 'BOOLEAN') return { sql: orNan('CAST(CAST("value" AS TINYINT) AS DOUBLE)'), gives: 'number' };
  if (type === 'VARCHAR') return { sql: `coalesce("value", '')`, gives: 'text' };
  return undefined;
}

/** NaN for null: a null costs a look into a bit mask for every row on the way out. */
function orNan(sql: string): string {
  return `coalesce(${sql}, 'NaN'::DOUBLE)`;
}
