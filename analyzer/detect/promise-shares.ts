/**
 * How the false findings accepted per gun and year are shared out among all that is looked at on a gun. Expected counts add up whether
 * or not signals depend on each other, so a budget that is shared out is kept by the gun as a whole. The three add up to 1.
 *
 * Source: own choice: nearly all goes to the insert, which every gun wears out several times a year and whose slow loss is hardest to
 * tell from operators, lots and weather; steps stand out, and a line's filter lasts half a year.
 */
export const PROMISE_SHARES = { insert: 0.65, lines: 0.15, steps: 0.2 } as const;

/** Spray hours of a gun in a year. Source: own choice, one shift at 25 % trigger-on time. */
export const SPRAY_HOURS_A_YEAR = 500;
/** Spray hours of a full block, what every detector takes in at once. Source: see FULL_MINUTES of the blocks, 8 minutes. */
export const BLOCK_HOURS = 8 / 60;
