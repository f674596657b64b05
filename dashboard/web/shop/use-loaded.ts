import { useEffect, useState } from 'preact/hooks';
import { ApiFault, ask } from '../api.ts';
import { useAgain } from '../link/use-again.ts';

/** What a page shows of an address: nothing yet, what came, or why nothing came. */
export interface Loaded<T> {
  readonly data: T | null;
  readonly fault: string | null;
  /** Asks again; what is shown stays until the answer comes. */
  readonly reload: () => Promise<void>;
}

/**
 * Asks an address when it is first shown and whenever it changes.
 *
 * @param patienceMs how long an answer may take that is more work than others; by default as for any
 */
export function useLoaded<T>(path: string, patienceMs?: number): Loaded<T> {
  const [state, setState] = useState<{ path: string; data: T | null; fault: string | null }>({
    path,
    data: null,
    fault: null,
  });
  const load = async (): Promise<void> => {
    try {
      const data = await ask<T>(path, patienceMs === undefined ? {} : { signal: AbortSignal.timeout(patienceMs) });
      setState({ path, data, fault: null });
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      setState((before) => ({ path, data: before.path === path ? before.data : null, fault: error.message }));
    }
  };
  useEffect(() => {
    void load();
  }, [path]);
  useAgain(state.fault, load);
  return { data: state.path === path ? state.data : null, fault: state.fault, reload: load };
}
