/**
 * What a broker keeps for whoever subscribes comes after the subscription, and what is published meanwhile may overtake it: then the kept
 * one is the older of the two, and would stand until the next is published.
 */
export class Overtaken {
  /** Topics that were heard live since the connection was made. */
  private readonly live = new Set<string>();

  /** Another connection: the broker tells all that it keeps again. */
  begin(): void {
    this.live.clear();
  }

  /** @returns whether a message is older than what was heard of its topic, and so is to be left out */
  isOld(topic: string, retained: boolean): boolean {
    if (retained) return this.live.has(topic);
    this.live.add(topic);
    return false;
  }
}
