/** One key for a take-up among all of the site. */
export function takeupKey(conveyor: string, takeup: string): string {
  return `${conveyor}/${takeup}`;
}
