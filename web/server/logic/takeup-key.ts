/** One key for a take-up among all of the site. Ids hold neither spaces nor slashes. */
export function takeupKey(conveyor: string, takeup: string): string {
  return `${conveyor}/${takeup}`;
}
