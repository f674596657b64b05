/**
 * Findings are looked for at fixed reading times, so that they do not depend on how the calls are cut.
 * Source: own choice, short against the 8 spray minutes of a block.
 */
export const TICK_MS = 5 * 60_000;
