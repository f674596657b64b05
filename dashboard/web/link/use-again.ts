import { useEffect, useRef } from 'preact/hooks';
import { NO_CONNECTION } from '../api.ts';

/** Until an answer that did not come is asked for again, ms. Source: own choice. */
const AGAIN_MS = 3000;

/**
 * Asks again for as long as the service is not reached: it may be starting or away for a moment, and nobody should have to press a
 * button for that.
 *
 * @param fault the sentence that is shown; null for none
 */
export function useAgain(fault: string | null, load: () => unknown): void {
  const newest = useRef(load);
  newest.current = load;
  useEffect(() => {
    if (fault !== NO_CONNECTION) return;
    const timer = setInterval(() => void newest.current(), AGAIN_MS);
    return () => clearInterval(timer);
  }, [fault]);
}
