/** The package's own types leave the endings off their imports, which this compiler does not follow. */
declare module 'simple-statistics' {
  export function linearRegression(points: readonly (readonly [number, number])[]): { readonly m: number; readonly b: number };
  export function median(values: readonly number[]): number;
  export function medianAbsoluteDeviation(values: readonly number[]): number;
  export function quantileSorted(values: readonly number[], p: number): number;
}
