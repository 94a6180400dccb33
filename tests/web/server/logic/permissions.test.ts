import { describe, expect, it } from 'vitest';
import { may, PERMISSIONS, permissionsOf, ROLES } from '../../../../web/server/logic/permissions.js';

describe('who may do what', () => {
  it('is this table', () => {
    expect(Object.fromEntries(ROLES.map((role) => [role, permissionsOf(role)]))).toEqual({
      viewer: ['see', 'change-own-password'],
      technician: ['see', 'change-own-password', 'acknowledge-alarm', 'shelve-alarm', 'record-work'],
      engineer: [
        ...['see', 'change-own-password', 'acknowledge-alarm', 'shelve-alarm', 'take-alarm-out-of-service'],
        ...['record-work', 'manage-people', 'use-bench', 'change-site'],
      ],
    });
  });

  it('lets a role do all that the roles before it may', () => {
    for (const permission of PERMISSIONS) {
      const answers = ROLES.map((role) => may(role, permission));
      expect(answers).toEqual(answers.toSorted((a, b) => Number(a) - Number(b)));
    }
  });
});
