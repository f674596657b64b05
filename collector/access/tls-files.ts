import type { X509Certificate } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import type { SecureContextOptions } from 'node:tls';
import { certificateWithKey, firstCertificate, type NamedFile, pemFault } from '../files/pem.ts';
import type { Tls } from './access-config.ts';

/** A certificate with its key, checked to belong together, and what it says of itself. */
export interface TlsFiles {
  readonly context: SecureContextOptions;
  /** Host names that it is for, without wildcards. */
  readonly hosts: readonly string[];
  /** When it holds, epoch ms. */
  readonly validFrom: number;
  readonly validTo: number;
}

/**
 * Reads the certificate and the key that the configuration names. One that has expired or does not hold yet is read as well: those
 * that check it refuse it, and nobody else is to lose readings by it.
 *
 * @returns null where it names none
 * @throws {AppError} CONFIG_INVALID with file, found, expected: not readable, not PEM, a key that needs a passphrase or
 * belongs to another certificate
 */
export async function readTls({ certificate, key }: Tls): Promise<TlsFiles | null> {
  if (certificate === null || key === null) return null;
  const shown = await read('tls.certificate', certificate);
  const secret = await read('tls.key', key);
  const first = firstCertificate(shown);
  const context = certificateWithKey(shown, secret);
  return {
    context,
    hosts: hostsOf(first),
    validFrom: Date.parse(first.validFrom),
    validTo: Date.parse(first.validTo),
  };
}

/**
 * Refuses a certificate that does not hold now.
 *
 * @param now epoch ms
 * @throws {AppError} CONFIG_INVALID with file, found, expected
 */
export function refuseUnlessHolds({ validFrom, validTo }: TlsFiles, { certificate }: Tls, now: number): void {
  const named = { field: 'tls.certificate', file: certificate! };
  const at = (time: number): string => new Date(time).toISOString();
  if (validTo <= now) throw pemFault(named, `found a certificate that expired on ${at(validTo)}, expected a valid one`);
  if (validFrom > now)
    throw pemFault(named, `found a certificate that holds from ${at(validFrom)} on, expected a valid one`);
}

async function read(field: string, file: string): Promise<NamedFile> {
  try {
    return { field, file, bytes: await readFile(file) };
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw pemFault({ field, file }, `cannot be read (${code}), expected a PEM file`, error);
  }
}

/** Names of RFC 6125's subjectAltName; a wildcard names no host. */
function hostsOf({ subjectAltName }: X509Certificate): string[] {
  return (subjectAltName ?? '')
    .split(', ')
    .filter((name) => name.startsWith('DNS:') && !name.includes('*'))
    .map((name) => name.slice(4));
}
