import { connect as connectTcp } from 'node:net';
import { connect as connectTls } from 'node:tls';
import type { BrokerSecrets } from './broker-secrets.ts';
import { brokerAddress } from './external-broker-config.ts';
import type { LinkSocket } from './link.ts';

/** Opens the connection; faults come as the socket's own events. */
export function openSocket(url: string, secrets: BrokerSecrets, opened: () => void): LinkSocket {
  const { tls, host, port } = brokerAddress(url)!;
  if (!tls) {
    const socket = connectTcp({ host, port, noDelay: true, keepAlive: true });
    socket.once('connect', opened);
    return socket;
  }
  const { ca, cert, key } = secrets;
  const socket = connectTls({
    host,
    port,
    // A certificate is for a name, so a name is asked for where there is one.
    ...(/^[\d.]+$|:/.test(host) ? {} : { servername: host }),
    ...(ca && { ca }),
    ...(cert && { cert }),
    ...(key && { key }),
    minVersion: 'TLSv1.2',
  });
  socket.setNoDelay(true);
  socket.once('secureConnect', opened);
  return socket;
}
