import type { z } from 'zod';

/** What a detector says of one sample. */
export const Verdict = { quiet: 0, warming: 1, warn: 2, alarm: 3 } as const;
export type Verdict = (typeof Verdict)[keyof typeof Verdict];

/** Which way a change has to go to count. */
export const DIRECTIONS = ['up', 'down', 'both'] as const;

/**
 * A streaming detector: settings, state and step are three separate things. The caller owns the state, keeps it as
 * JSON and hands it back after a restart.
 */
export interface Detector<Settings, State> {
  readonly kind: string;
  /** Raise when State changes meaning. */
  readonly stateVersion: number;
  /** Schema of the settings, with descriptions and units. */
  readonly schema: z.ZodType<Settings>;
  init(settings: Settings): State;
  /** Takes in one sample. A sample that is not finite is a gap: it changes nothing and is quiet. */
  step(settings: Settings, state: State, x: number): Verdict;
  /** Samples since the change began, as the state tells it; 0 while nothing points to one. */
  changeAge(settings: Settings, state: State): number;
}
