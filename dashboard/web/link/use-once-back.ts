import { effect } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { NO_CONNECTION } from '../api.ts';
import { lastHeardMs } from './live.ts';

/**
 * Takes away the sentence that there is no connection once the service is heard again: what somebody pressed meanwhile was not done, and can
 * be pressed anew.
 *
 * @param fault the sentence that is shown; null for none
 */
export function useOnceBack(fault: string | null, clear: () => void): void {
  const newest = useRef(clear);
  newest.current = clear;
  useEffect(() => {
    if (fault !== NO_CONNECTION) return;
    const since = performance.now();
    return effect(() => {
      if ((lastHeardMs.value ?? 0) > since) newest.current();
    });
  }, [fault]);
}
