import { effect, type Signal, signal } from '@preact/signals';
import type { LoopJob } from '../../../analyzer/index.ts';
import { ApiFault, ask } from '../api.ts';
import { wall } from '../link/live.ts';

export interface Loaded<T> {
  /** The newest that came; null before the first. */
  readonly value: T | null;
  /** Why the last attempt failed; null when it did not. */
  readonly fault: string | null;
}

export interface FollowedJobs {
  readonly jobs: Signal<Loaded<readonly LoopJob[]>>;
  readonly reload: () => void;
  readonly stop: () => void;
}

/**
 * Jobs in full, fetched anew whenever the wall says that they changed.
 *
 * @param which those to do, or those that have ended too
 */
export function followJobs(which: 'to-do' | 'all' = 'to-do'): FollowedJobs {
  const jobs = signal<Loaded<readonly LoopJob[]>>({ value: null, fault: null });
  let seen: string | null = null;
  const stop = effect(() => {
    const version = JSON.stringify([wall.value?.jobs ?? null, wall.value?.jobsInAll]);
    if (version === seen) return;
    seen = version;
    void load(jobs, which);
  });
  return { jobs, reload: () => void load(jobs, which), stop };
}

async function load(jobs: Signal<Loaded<readonly LoopJob[]>>, which: string): Promise<void> {
  try {
    jobs.value = { value: await ask<LoopJob[]>(`/api/jobs?state=${which}`), fault: null };
  } catch (error) {
    if (!(error instanceof ApiFault)) throw error;
    jobs.value = { value: jobs.peek().value, fault: error.message };
  }
}
