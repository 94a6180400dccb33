import { randomUUID } from 'node:crypto';
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { Type, type Static } from 'typebox';
import { Compile } from 'typebox/compile';
import { TakelineFault } from '../../../agent/process/fault.js';
import { ROLES, type Role } from '../logic/permissions.js';
import { makePassword } from './first-password.js';
import { hashOfNobody, hashPassword, PASSWORD_HASH, verifyPassword, type PasswordHash } from './password-hash.js';
import { readIfThere, writePrivately } from '../../../agent/process/private-file.js';

const PERSON = Type.Object(
  {
    name: Type.String({ minLength: 1 }),
    role: Type.Enum([...ROLES]),
    password: PASSWORD_HASH,
    /** Changes with the password: a session made before is worth nothing after. */
    stamp: Type.String({ minLength: 1 }),
  },
  { additionalProperties: false },
);
const FILE = Type.Object({ version: Type.Literal(1), people: Type.Array(PERSON, { minItems: 1 }) }, { additionalProperties: false });
const FILE_CHECK = Compile(FILE);

type KeptPerson = Static<typeof PERSON>;

/** Somebody who may sign in. */
export interface Person {
  readonly name: string;
  readonly role: Role;
  readonly stamp: string;
}

const FIRST_PERSON = 'engineer';

/** Everybody who may sign in, kept in `<data>/web/users.json`. */
export class People {
  /** Changes are made one after the other: the file is whole after each. */
  private lastChange: Promise<unknown> = Promise.resolve();

  private constructor(
    private readonly path: string,
    private readonly firstPasswordPath: string,
    private people: ReadonlyMap<string, KeptPerson>,
    /** Verified against where there is no such person, so that a stranger's name takes as long as a known one. */
    private readonly nobody: PasswordHash,
  ) {}

  /**
   * Opens the file, or makes it with the one person `engineer` and a password of the machine's own, which is kept
   * readable in `<data>/secrets/web-engineer.txt` until it is changed.
   *
   * @param dataDir - the data folder
   * @throws TakelineFault `users-damaged` where the file is not what it should be; `data-unreadable`, `data-unwritable`
   */
  static async open(dataDir: string): Promise<People> {
    const path = join(dataDir, 'web', 'users.json');
    const firstPasswordPath = join(dataDir, 'secrets', 'web-engineer.txt');
    const nobody = hashOfNobody();
    const content = await readIfThere(path);
    if (content !== undefined) return new People(path, firstPasswordPath, parsePeople(path, content.toString('utf8')), nobody);
    const people = new People(path, firstPasswordPath, new Map(), nobody);
    const password = makePassword();
    await writePrivately(firstPasswordPath, `${password}\n`);
    await people.add(FIRST_PERSON, 'engineer', password);
    return people;
  }

  /** The password made at the first start; undefined once it was changed. */
  async firstPassword(): Promise<{ readonly name: string; readonly password: string } | undefined> {
    const content = await readIfThere(this.firstPasswordPath);
    return content === undefined ? undefined : { name: FIRST_PERSON, password: content.toString('utf8').trim() };
  }

  find(name: string): Person | undefined {
    return this.people.get(name);
  }

  list(): readonly Person[] {
    return [...this.people.values()];
  }

  /** The person whose name and password these are; as slow for a name that is not there as for a wrong password. */
  async verify(name: string, password: string): Promise<Person | undefined> {
    const person = this.people.get(name);
    const right = await verifyPassword(password, person?.password ?? this.nobody);
    return right ? person : undefined;
  }

  /** @throws Error where there is nobody of that name: ask `find` first */
  async setPassword(name: string, password: string): Promise<void> {
    const hash = await hashPassword(password);
    await this.change((people) => {
      const before = people.get(name);
      if (before === undefined) throw new Error(`there is no ${name}`);
      people.set(name, { ...before, password: hash, stamp: randomUUID() });
    });
    if (name === FIRST_PERSON) await rm(this.firstPasswordPath, { force: true });
  }

  /** @returns false where the name is taken */
  async add(name: string, role: Role, password: string): Promise<boolean> {
    const hash = await hashPassword(password);
    return this.change((people) => {
      if (people.has(name)) return false;
      people.set(name, { name, role, password: hash, stamp: randomUUID() });
      return true;
    });
  }

  /** @returns false where there was nobody of that name */
  async remove(name: string): Promise<boolean> {
    return this.change((people) => people.delete(name));
  }

  private change<T>(make: (people: Map<string, KeptPerson>) => T): Promise<T> {
    const done = this.lastChange.then(async () => {
      const people = new Map(this.people);
      const answer = make(people);
      const file: Static<typeof FILE> = { version: 1, people: [...people.values()] };
      await writePrivately(this.path, `${JSON.stringify(file, undefined, 2)}\n`);
      // Only what is on the disk counts.
      this.people = people;
      return answer;
    });
    this.lastChange = done.catch(() => undefined);
    return done;
  }
}

function parsePeople(path: string, text: string): Map<string, KeptPerson> {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    value = undefined;
  }
  if (!FILE_CHECK.Check(value)) {
    const remedy = 'put a copy back in its place, or move it away: the next start then makes a new engineer with a new password';
    throw new TakelineFault('users-damaged', `${path} is damaged: ${remedy}.`);
  }
  return new Map(value.people.map((person) => [person.name, person]));
}
