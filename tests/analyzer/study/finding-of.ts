import type { Finding } from '../../../collector/contract/index.ts';

const HOUR_MS = 3_600_000;
/** 2026-01-05T00:00:00Z. */
export const START_MS = Date.UTC(2026, 0, 5);

/** Reading time so many hours after the start. */
export const hour = (hours: number): number => START_MS + hours * HOUR_MS;

/** A finding of a gun, raised and cleared at hours after the start. */
export function findingOf(cause: string, raisedHour: number, clearedHour: number | null, gun = 'gun-01'): Finding {
  const iso = (hours: number): string => new Date(hour(hours)).toISOString();
  return {
    gun,
    cause,
    category: 'maintenance-required',
    onset: iso(raisedHour),
    raised: iso(raisedHour),
    asOf: iso(clearedHour ?? raisedHour),
    cleared: clearedHour === null ? null : iso(clearedHour),
    candidates: [{ cause, probability: 1 }],
    excessAir: 0.1,
    remaining: null,
    evidence: [],
  };
}
