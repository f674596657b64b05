import type { OperationConfig } from './config.ts';

interface Port {
  /** Its key in the configuration. */
  readonly key: string;
  readonly host: string;
  readonly port: number;
}

const ANY_ADDRESS = new Set(['0.0.0.0', '::', '[::]']);
const LOOPBACK = new Set(['127.0.0.1', 'localhost']);

/** Ports that the service would open twice, which the system refuses: a sentence each; empty when there are none. */
export function portClashes({ bind, broker, http, tls }: OperationConfig): string[] {
  const secure = tls.certificate !== null;
  const ports: Port[] = [];
  if (!secure || tls.plainMqtt !== 'off')
    ports.push({
      key: 'broker.port',
      host: secure && tls.plainMqtt === 'loopback' ? '127.0.0.1' : bind,
      port: broker.port,
    });
  if (secure) ports.push({ key: 'tls.mqttPort', host: bind, port: tls.mqttPort });
  ports.push({ key: 'http.port', host: bind, port: http.port });
  return ports.flatMap((later, index) =>
    ports
      .slice(0, index)
      // Any free one is never the same.
      .filter((earlier) => later.port !== 0 && earlier.port === later.port && meet(earlier.host, later.host))
      .map(({ key }) => `${later.key}: found ${later.port}, which ${key} has too; expected a port of its own`),
  );
}

function meet(one: string, other: string): boolean {
  return (
    one === other || [one, other].some((host) => ANY_ADDRESS.has(host)) || (LOOPBACK.has(one) && LOOPBACK.has(other))
  );
}
