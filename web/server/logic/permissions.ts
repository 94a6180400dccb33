/** Who may do what. A role may all that the roles before it may. */
export const ROLES = ['viewer', 'technician', 'engineer'] as const;
export type Role = (typeof ROLES)[number];

/** Every permission, with the least role that has it and why. */
const LEAST_ROLE = {
  /** A wall in a control room is signed in as somebody who can only look. */
  see: 'viewer',
  'change-own-password': 'viewer',
  /** Acknowledging says that somebody who can do something about it has seen it. */
  'acknowledge-alarm': 'technician',
  /** For a day at most, and it comes back by itself. */
  'shelve-alarm': 'technician',
  /** It stays so until somebody puts it back: whoever answers for the alarm list decides. */
  'take-alarm-out-of-service': 'engineer',
  /** Whoever did the work, or knows who did: an entry moves the account of the chain. */
  'record-work': 'technician',
  'manage-people': 'engineer',
  /** Replays cost the machine time, and show what alarms would have been. */
  'use-bench': 'engineer',
  /** Limits, scales and springs of the site file decide what is judged. */
  'change-site': 'engineer',
} as const satisfies Readonly<Record<string, Role>>;

export type Permission = keyof typeof LEAST_ROLE;

export const PERMISSIONS = Object.keys(LEAST_ROLE) as readonly Permission[];

/** Whether a role has a permission. */
export function may(role: Role, permission: Permission): boolean {
  return ROLES.indexOf(role) >= ROLES.indexOf(LEAST_ROLE[permission]);
}

/** All that a role may, for a screen that shows only what its reader can use. */
export function permissionsOf(role: Role): readonly Permission[] {
  return PERMISSIONS.filter((permission) => may(role, permission));
}
