/** Things that are being done, by the request that asked for each: a second click meanwhile waits for the first. */
export class InFlight<Outcome> {
  private readonly running = new Map<string, { readonly what: string; readonly outcome: Promise<Outcome> }>();

  /**
   * Begins what a request asks for, or joins in where the same is being done.
   *
   * @param what - all that the request asks for, as one text
   * @returns undefined where something else is being done under the same name
   */
  do(request: string, what: string, begin: () => Promise<Outcome>): Promise<Outcome> | undefined {
    const same = this.running.get(request);
    if (same !== undefined) return same.what === what ? same.outcome : undefined;
    const outcome = begin().finally(() => this.running.delete(request));
    this.running.set(request, { what, outcome });
    return outcome;
  }
}
