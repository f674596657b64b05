import { X509Certificate } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { createSecureContext, type SecureContextOptions } from 'node:tls';
import { AppError } from '../contract/errors.ts';
import type { Tls } from './access-config.ts';

/** A certificate with its key, checked to belong together, and what it says of itself. */
export interface TlsFiles {
  readonly context: SecureContextOptions;
  /** Host names that it is for, without wildcards. */
  readonly hosts: readonly string[];
  /** Epoch ms. */
  readonly validTo: number;
}

/**
 * Reads the certificate and the key that the configuration names.
 *
 * TLS 1.2 is the least: RFC 8996 retires what came before.
 *
 * @returns null where it names none
 * @throws {AppError} CONFIG_INVALID with file, found, expected: not readable, not PEM, a key that needs a passphrase or
 * belongs to another certificate, a certificate that has expired
 */
export async function readTls({ certificate, key }: Tls, now: number): Promise<TlsFiles | null> {
  if (certificate === null || key === null) return null;
  const cert = await read(certificate, 'tls.certificate');
  const secret = await read(key, 'tls.key');
  let first: X509Certificate;
  try {
    first = new X509Certificate(cert);
  } catch (error) {
    throw fault(`tls.certificate: ${certificate}: found no certificate, expected one or more in PEM`, error);
  }
  if (!/-----BEGIN ([A-Z]+ )?PRIVATE KEY-----/.test(secret.toString('latin1')))
    throw fault(`tls.key: ${key}: found no private key, expected one in PEM without a passphrase`);
  if (/ENCRYPTED/.test(secret.toString('latin1')))
    throw fault(`tls.key: ${key}: found a key with a passphrase, expected one without`);
  const validTo = Date.parse(first.validTo);
  if (validTo < now)
    throw fault(
      `tls.certificate: ${certificate}: found a certificate that expired on ${first.validTo}, expected a valid one`,
    );
  const context: SecureContextOptions = { cert, key: secret, minVersion: 'TLSv1.2' };
  try {
    createSecureContext(context);
  } catch (error) {
    throw fault(
      `tls.key: ${key}: found a key that cannot be used with ${certificate} (${(error as Error).message}), expected the one of that certificate`,
      error,
    );
  }
  return { context, hosts: hostsOf(first), validTo };
}

async function read(file: string, field: string): Promise<Buffer> {
  try {
    return await readFile(file);
  } catch (error) {
    throw fault(
      `${field}: ${file}: cannot be read (${(error as NodeJS.ErrnoException).code}), expected a PEM file`,
      error,
    );
  }
}

/** Names of RFC 6125's subjectAltName; a wildcard names no host. */
function hostsOf({ subjectAltName }: X509Certificate): string[] {
  return (subjectAltName ?? '')
    .split(', ')
    .filter((name) => name.startsWith('DNS:') && !name.includes('*'))
    .map((name) => name.slice(4));
}

function fault(message: string, cause?: unknown): AppError {
  return new AppError('CONFIG_INVALID', message, { cause });
}
