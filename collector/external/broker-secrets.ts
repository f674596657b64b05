import { readFile } from 'node:fs/promises';
import { AppError } from '../contract/errors.ts';
import { printable } from '../contract/printable.ts';
import { systemFault } from '../files/file-access.ts';
import { certificateWithKey, firstCertificate, type NamedFile } from '../files/pem.ts';
import type { ExternalBroker } from './external-broker-config.ts';

/** What the files of the configuration hold; never shown. */
export interface BrokerSecrets {
  readonly password: string | null;
  readonly ca: Buffer | null;
  readonly cert: Buffer | null;
  readonly key: Buffer | null;
}

/**
 * Reads what the configuration names by file, and looks whether certificates and key are such.
 *
 * @throws {AppError} CONFIG_INVALID that names the key and the file, never what is in it
 */
export async function readBrokerSecrets(config: ExternalBroker): Promise<BrokerSecrets> {
  const read = (key: FileKey): Promise<NamedFile | null> => readNamed(config, key);
  const [password, ca, cert, key] = [
    await read('passwordFile'),
    await read('caFile'),
    await read('certFile'),
    await read('keyFile'),
  ];
  // Node takes any text for authorities, and then trusts none.
  if (ca !== null) firstCertificate(ca);
  if (cert !== null && key !== null) certificateWithKey(cert, key);
  return {
    password: password === null ? config.password : password.bytes.toString('utf8').replace(/\r?\n$/, ''),
    ca: ca?.bytes ?? null,
    cert: cert?.bytes ?? null,
    key: key?.bytes ?? null,
  };
}

type FileKey = 'passwordFile' | 'caFile' | 'certFile' | 'keyFile';

async function readNamed(config: ExternalBroker, key: FileKey): Promise<NamedFile | null> {
  const file = config[key];
  if (file === null) return null;
  const field = `externalBroker.${key}`;
  try {
    return { field, file, bytes: await readFile(file) };
  } catch (error) {
    const found = systemFault(error) ?? 'what cannot be read';
    const text = `${field}: "${printable(file, 200)}": found ${found}, expected a file that this service may read`;
    throw new AppError('CONFIG_INVALID', text, { cause: error });
  }
}
