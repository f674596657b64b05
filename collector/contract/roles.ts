/** What a person or a program may do, each including those before it: look, log work, tune, give and take accounts. */
export const ROLES = ['wall', 'fitter', 'engineer', 'administrator'] as const;
export type Role = (typeof ROLES)[number];

/**
 * Whether a role includes another.
 *
 * @example
 * mayActAs('engineer', 'fitter'); // true
 */
export function mayActAs(role: Role, least: Role): boolean {
  return ROLES.indexOf(role) >= ROLES.indexOf(least);
}
