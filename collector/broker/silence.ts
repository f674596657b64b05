import { SWEEPS_PER_SECOND } from './allowance.ts';

/** How long an ended connection may take to flush, s. Source: own choice, because a live peer needs far less. */
const LINGER_S = 5;

/** Where a connection stands in its life. */
export type Phase = 'connecting' | 'connected' | 'ended';

/** Watches a connection's silence, counted in the gate's sweeps: no clock that could jump or stall. */
export class Silence {
  #sweeps = 0;

  heard(): void {
    this.#sweeps = 0;
  }

  /**
   * One more sweep. Says why the connection is to end now, or null.
   *
   * @param keepAliveS of the client, 0 for none
   * @param connectTimeoutS from the TCP connection to a complete CONNECT
   */
  sweep(phase: Phase, keepAliveS: number, connectTimeoutS: number): string | null {
    const seconds = ++this.#sweeps / SWEEPS_PER_SECOND;
    if (phase === 'ended') return seconds > LINGER_S ? 'it does not take its last bytes' : null;
    if (phase === 'connecting')
      return seconds > connectTimeoutS ? `no complete CONNECT within ${connectTimeoutS} s` : null;
    // One and a half keep-alives [MQTT-3.1.2-24], and up to a sweep more because sweeps are counted whole.
    if (keepAliveS === 0 || seconds <= 1.5 * keepAliveS) return null;
    return `silent for one and a half times its keep-alive of ${keepAliveS} s`;
  }
}
