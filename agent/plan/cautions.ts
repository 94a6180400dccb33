/** What stands first wherever work is planned. */
export interface Caution {
  readonly key: CautionKey;
  readonly text: string;
}

export type CautionKey =
  | 'not-a-safety-device'
  | 'lock-out'
  | 'stored-energy'
  | 'carriage-moves'
  | 'guards'
  | 'hot-work'
  | 'height'
  | 'two-people'
  | 'own-procedure'
  | 'qualified-person';

/** The cautions, in the order in which they are shown. */
export const CAUTIONS: readonly Caution[] = Object.freeze<Caution[]>([
  {
    key: 'not-a-safety-device',
    text: 'Takeline is not a safety device and stops nothing. Its figures are an aid to the work, not leave to do it.',
  },
  { key: 'lock-out', text: 'Lock out and tag out the conveyor before anything is opened, and try that it stays still.' },
  { key: 'stored-energy', text: 'Then release and block the energy stored in springs and chain: it is there after the lock-out too.' },
  {
    key: 'carriage-moves',
    text: 'The carriage can move without warning. Keep hands, tools and yourself out of its way and out of line with the chain.',
  },
  { key: 'guards', text: 'Guards are back in place before the start.' },
  {
    key: 'hot-work',
    text: "Grinding and cutting need the site's hot-work permit, above all near paint and ovens: clear what burns, and keep a fire watch while the work goes on and afterwards.",
  },
  {
    key: 'height',
    text: 'Take-ups hang high: use the platform and fall protection that the site asks for, and keep people out from below.',
  },
  { key: 'two-people', text: 'Two people where one can be caught.' },
  {
    key: 'own-procedure',
    text: "Follow the site's own procedure, local codes and the conveyor maker's instructions: where they differ from this, they hold.",
  },
  { key: 'qualified-person', text: 'A qualified person decides whether and how the work is done.' },
]);
