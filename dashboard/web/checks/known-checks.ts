import { signal } from '@preact/signals';
import type { Checks } from '../../server/upkeep/upkeep-model.ts';
import { ApiFault, ask } from '../api.ts';

/** Cautions and checks by hand, as this browser knows them; null before they came. */
export const checks = signal<Checks | null>(null);

const KEY = 'driftline.checks';

/** Asks for the checks once; without a network those of the last time serve, because they do not change with the plant. */
export async function knowChecks(): Promise<void> {
  if (checks.peek() !== null) return;
  const kept = localStorage.getItem(KEY);
  if (kept !== null) checks.value = JSON.parse(kept) as Checks;
  try {
    checks.value = await ask<Checks>('/api/checks');
    localStorage.setItem(KEY, JSON.stringify(checks.value));
  } catch (error) {
    // What is missing is help on a page that says itself that there is no connection.
    if (!(error instanceof ApiFault)) throw error;
  }
}
