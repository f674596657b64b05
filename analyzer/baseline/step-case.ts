interface FurtherCandidate {
  readonly cause: string;
  readonly probability: number;
}

/** Ripple that rose again while a leak is open. */
export interface FurtherLeak {
  /** When, epoch ms, and spray hours of the gun at its notice. */
  onset: number;
  atHours: number;
  /** Ripple and loss (ln) of the gun before it, and the most that ripple has risen since. */
  ripple: number;
  loss: number;
  peak: number;
  /** Spray hours from which most of the rise was gone; 0 while it is not. */
  belowFrom: number;
  /** What the first was thought to be before it, and what was said of this one when it was raised; null before. */
  before: readonly FurtherCandidate[];
  said: { readonly candidates: readonly FurtherCandidate[]; readonly evidence: readonly string[] } | null;
}

/** A change for the worse on the pumping effect that came at once and is being looked at. */
export interface StepCase {
  /** When it began and when it was noticed, epoch ms. */
  onset: number;
  noticed: number;
  /** Spray hours of the gun at its notice. */
  atHours: number;
  upward: boolean;
  /** How much likelier a leak is for a refit just before; 1 without one. */
  refitOdds: number;
  hoseWork: boolean;
  powderChange: boolean;
  common: boolean;
  /** What is lost is told by what came back of powders that are not read, not by the joint belief of guns. */
  unread: boolean;
  /** Powder in use when it was noticed, and blocks of others since that gave as little. */
  powder: string;
  elsewhere: number;
  /** Largest loss (ln) that was believed. */
  peak: number;
  /** Changes that should have cured it: epoch ms, part, the loss before, and whether they did not. */
  tried: { time: number; part: string; atHours: number; lossBefore?: number; inVain?: boolean }[];
  /** Loss when a finding was raised on it (0 before), as last looked at, and spray hours from which nothing of it was left (0 while something is). */
  size: number;
  last: number;
  calmFrom: number;
  /** Spray hours from which what was lost is coming back; 0 while it is not. */
  fadingFrom: number;
  /** Ripple and loss (ln) when the chart of ripple last stood at zero, and the gun's spray hours then. */
  calm?: { readonly ripple: number; readonly loss: number; readonly atHours: number };
  /** Whether air pulsed beyond doubt when seals could first be named: a slow leak does so by and by. */
  pulsed?: boolean;
  /** A second leak beside it. */
  further?: FurtherLeak | null;
}
