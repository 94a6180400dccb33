import { signal } from '@preact/signals';

/** A site file that was tried on the bench and is to be put in force, and what the comparison showed. */
export interface SiteProposal {
  readonly text: string;
  /** The site file that it was tried beside. */
  readonly base: string;
  readonly why: string;
}

/** What the bench hands over to Set-up; undefined where nothing is. */
export const siteProposal = signal<SiteProposal | undefined>(undefined);
