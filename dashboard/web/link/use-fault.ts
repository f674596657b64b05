import { effect } from '@preact/signals';
import { type StateUpdater, useEffect, useState } from 'preact/hooks';
import { NO_CONNECTION } from '../api.ts';
import { lastHeardMs } from './live.ts';

/**
 * The sentence of what was refused, null for none. The one that there is no connection goes away once the service is heard again: what
 * somebody pressed meanwhile was not done, and can be pressed anew.
 */
export function useFault(): readonly [string | null, (fault: StateUpdater<string | null>) => void] {
  const [fault, setFault] = useState<string | null>(null);
  useEffect(() => {
    if (fault !== NO_CONNECTION) return;
    const since = performance.now();
    return effect(() => {
      if ((lastHeardMs.value ?? 0) > since) setFault(null);
    });
  }, [fault]);
  return [fault, setFault];
}
