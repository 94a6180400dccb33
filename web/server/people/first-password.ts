import { randomInt } from 'node:crypto';

/** Without what is read for one another: 0 and O, 1, l and I. */
const LETTERS = 'abcdefghjkmnpqrstuvwxyz23456789';
const GROUPS = 4;
const GROUP_LENGTH = 4;

/** A password that a machine makes up and a person can type from paper: four groups of four, about 79 bits. */
export function makePassword(): string {
  const group = (): string => Array.from({ length: GROUP_LENGTH }, () => LETTERS[randomInt(LETTERS.length)] ?? '').join('');
  return Array.from({ length: GROUPS }, group).join('-');
}
