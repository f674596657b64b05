/**
 * Reasons of readings that are kept apart and not thrown away: their values are good, only their times are not. They take
 * no room from what is refused, and go with the raw readings of their time (retention).
 */
export const KEPT_APART: readonly string[] = ['ahead-of-clock', 'before-2000'];
export const APART_SQL = `(${KEPT_APART.map((reason) => `'${reason}'`).join(', ')})`;
