import { readFile } from 'node:fs/promises';
import { connect as connectTcp } from 'node:net';
import { connect as connectTls } from 'node:tls';
import { AppError } from '../contract/errors.ts';
import { printable } from '../contract/printable.ts';
import { systemFault } from '../files/file-access.ts';
import { brokerAddress, type ExternalBroker } from './external-broker-config.ts';
import type { LinkSocket } from './link.ts';

/** What the files of the configuration hold; never shown. */
export interface BrokerSecrets {
  readonly password: string | null;
  readonly ca: Buffer | null;
  readonly cert: Buffer | null;
  readonly key: Buffer | null;
}

/**
 * Reads what the configuration names by file.
 *
 * @throws {AppError} CONFIG_INVALID that names the key and the file, never what is in it
 */
export async function readBrokerSecrets(config: ExternalBroker): Promise<BrokerSecrets> {
  const read = async (key: 'passwordFile' | 'caFile' | 'certFile' | 'keyFile'): Promise<Buffer | null> => {
    const file = config[key];
    if (file === null) return null;
    try {
      return await readFile(file);
    } catch (error) {
      const found = systemFault(error) ?? 'what cannot be read';
      const text = `externalBroker.${key}: "${printable(file, 200)}": found ${found}, expected a file that this service may read`;
      throw new AppError('CONFIG_INVALID', text, { cause: error });
    }
  };
  const password = await read('passwordFile');
  return {
    password: password === null ? config.password : password.toString('utf8').replace(/\r?\n$/, ''),
    ca: await read('caFile'),
    cert: await read('certFile'),
    key: await read('keyFile'),
  };
}

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
