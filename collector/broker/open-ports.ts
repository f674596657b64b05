import { createServer, type Server, type Socket } from 'node:net';
import { createServer as createTlsServer, type SecureContextOptions } from 'node:tls';
import { listen } from './listen.ts';

/** MQTT over TLS: its port and the certificate with its key. */
export interface TlsPort {
  readonly port: number;
  readonly context: SecureContextOptions;
}

export interface PortOptions {
  readonly host: string;
  /** 0 takes any free one. */
  readonly port: number;
  readonly tls: TlsPort | null;
  /** Where connections without TLS are taken beside it. */
  readonly plain: 'everywhere' | 'loopback' | 'off';
  /** Sockets that may be open, those included that have not finished TLS' handshake. */
  readonly maxConnections: number;
  /** How long that handshake may take, ms. */
  readonly handshakeMs: number;
  readonly accept: (socket: Socket) => void;
  /** A connection ended before TLS was agreed on. */
  readonly onHandshakeFault: (remote: string, why: string) => void;
}

/** Ports that take MQTT connections. */
export interface OpenPorts {
  /** Null where there is none. */
  readonly plain: { readonly host: string; readonly port: number } | null;
  readonly tls: number | null;
  /** Takes a renewed certificate for connections from now on. @throws {Error} where it is not usable: the one before stays */
  renew(context: SecureContextOptions): void;
  /** Takes no more connections; resolves when those that are open have ended. */
  close(): Promise<void>;
}

/**
 * Opens the ports of the broker.
 *
 * @throws {AppError} PORT_UNUSABLE
 */
export async function openPorts(options: PortOptions): Promise<OpenPorts> {
  const { tls, accept, maxConnections } = options;
  const servers: Server[] = [];
  const close = async (): Promise<void> => {
    await Promise.all(servers.map((server) => new Promise<void>((resolve) => server.close(() => resolve()))));
  };
  try {
    let plain: OpenPorts['plain'] = null;
    if (tls === null || options.plain !== 'off') {
      const host = tls !== null && options.plain === 'loopback' ? '127.0.0.1' : options.host;
      const server = createServer(accept);
      const port = await listen(server, options.port, host, 'MQTT', '--mqtt-port');
      servers.push(server);
      plain = { host, port };
    }
    if (tls === null) return { plain, tls: null, renew: () => undefined, close };
    const secure = createTlsServer({ ...tls.context, handshakeTimeout: options.handshakeMs }, accept);
    secure.maxConnections = maxConnections;
    secure.on('tlsClientError', (error, socket) =>
      options.onHandshakeFault(socket.remoteAddress ?? '?', error.message),
    );
    const port = await listen(secure, tls.port, options.host, 'MQTT over TLS', 'tls.mqttPort');
    servers.push(secure);
    return { plain, tls: port, renew: (context) => secure.setSecureContext(context), close };
  } catch (error) {
    await close();
    throw error;
  }
}
