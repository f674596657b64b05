import { NAMESPACE } from './sparkplug-topic.ts';

/** How a host application says that it is there. Source: Sparkplug 3.0.0 section 6.4.26, STATE. */
export interface HostState {
  readonly topic: string;
  readonly online: (nowMs: number) => string;
  readonly offline: (nowMs: number) => string;
}

/**
 * The state messages of a host.
 *
 * @example
 * hostState('driftline').online(1772439000000); // '{"online":true,"timestamp":1772439000000}'
 */
export function hostState(hostId: string): HostState {
  const payload = (online: boolean, timestamp: number): string => JSON.stringify({ online, timestamp });
  return {
    topic: `${NAMESPACE}/STATE/${hostId}`,
    online: (nowMs) => payload(true, nowMs),
    offline: (nowMs) => payload(false, nowMs),
  };
}
