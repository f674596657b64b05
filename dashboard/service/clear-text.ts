import type { OperationConfig } from '../../collector/index.ts';
import { isLoopback } from './loopback.ts';

/**
 * What an operator has to be told at the start when passwords cross the network readable to whoever listens there.
 *
 * @returns one sentence; null where only this machine can reach the service, or everything it takes is encrypted
 */
export function clearTextWarning({ bind, tls }: Pick<OperationConfig, 'bind' | 'tls'>): string | null {
  if (isLoopback(bind)) return null;
  if (tls.certificate === null)
    return `warning: ${bind} is taken without TLS, so passwords and tokens cross the network in clear text; "tls: { certificate: FILE, key: FILE }" in the configuration encrypts them`;
  if (tls.plainMqtt !== 'everywhere') return null;
  return `warning: MQTT on ${bind} is also taken without TLS, so passwords of stations may cross the network in clear text; "plainMqtt: loopback" below "tls" refuses that`;
}
